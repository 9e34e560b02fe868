/* The physical limits of what a grower types, in base units. Beyond them a value is a slip of the unit, not a tank.
 *
 * They stand in the rows of the shapes; rows of other rooms that read the same sort of value use the same numbers.
 * Where no source is named the limit is common practice with room to spare, no source. */
#ifndef AQ_MODEL_LIMITS_H
#define AQ_MODEL_LIMITS_H

#define AQ_VOLUME_MOST 1e6         /* L: a farm's whole lagoon */
#define AQ_MASS_MOST 1e7           /* g: ten tonnes */
#define AQ_EC_MOST 200.0           /* mS/cm: sea water is 53, 30 % sulfuric acid about 800 and no feed */
#define AQ_DENSITY_LEAST 500.0     /* g/L: spirits are 790, powders by the litre 600 */
#define AQ_DENSITY_MOST 2500.0     /* g/L: the densest saturated fertiliser solutions stay below 1.8 kg/L */
#define AQ_RATE_MOST 0.5           /* L/L: half of the tank */
#define AQ_CONTENT_MOST 1000.0     /* g/L of a weighed part, or of an element in a bottle */
#define AQ_TEMPERATURE_LEAST -10.0 /* degC, air and water of a nursery */
#define AQ_TEMPERATURE_MOST 60.0   /* degC */
#define AQ_PH_MOST 14.0
#define AQ_HARDNESS_MOST 0.2    /* eq/L, also of alkalinity: 10 g/L as CaCO3 */
#define AQ_SLOPE_MOST 30000.0   /* mS/cm per L/L: a litre of strong acid, 2.5 kg, at the line below */
#define AQ_SLOPE_MASS_MOST 12.0 /* mS/cm per g/L: hydrogen chloride, 426 S cm2/mol over 36.5 g/mol */
#define AQ_DAYS_MOST 3650.0     /* d, of a stage, a lead time, a shelf life */
#define AQ_STRENGTH_MOST 5.0    /* share of a label rate; the label's top itself is a caution's business */
#define AQ_COUNT_MOST 1000000.0 /* cuttings, cubes */
#define AQ_NAME_BYTES 60.0      /* of a name: it must fit a row of the sheet with its amount */

#endif

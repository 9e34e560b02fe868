/* The rows of a part, and what its entry must hold together: a slope per element with that element in the analysis, a
 * solubility per kg of water with the density of the saturated solution. */
#include "model/part.h"

#include <string.h>

#include "model/analysis.h"
#include "model/limits.h"
#include "model/rate.h"

static const char *const use_words[] = { "root", "foliar", NULL };  /* aq_use */
static const char *const tank_words[] = { "A", "B", "both", NULL }; /* aq_tank */

/* ---- solubility by temperature ---- */

/* "900 g/kg water" is read as the share it is. */
static aq_status read_solubility_grams(aq_walk *walk, aq_solubility_point *point, const aq_node *node)
{
    static const aq_field row = { .key = "solubility",
                                  .read = AQ_READ_QUANTITY,
                                  .want = AQ_WANT_CONTENT | AQ_WANT_SHARE,
                                  .bounded = true,
                                  .above = true,
                                  .least = 0,
                                  .most = 5000,
                                  .example = "90 g/L" };
    static const char water[] = " water";
    size_t length = node->shape == AQ_NODE_SCALAR ? strlen(node->text) : 0;
    aq_node plain = *node;
    aq_quantity read = { 0 };

    point->per_water = length > strlen(water) && strcmp(node->text + length - strlen(water), water) == 0;
    if (point->per_water)
        plain.text = aq_arena_text(walk->arena, node->text, length - strlen(water));
    if (!plain.text && length)
        return aq_walk_fail(walk, AQ_NO_MEMORY, node->place, "out of memory");
    if (aq_field_read(walk, &row, &plain, &read) != AQ_OK)
        return aq_complaints_status(walk->complaints);
    if (aq_kind_equal(read.kind, AQ_KIND_SHARE) != point->per_water)
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place,
                            "solubility: %s: %s is neither grams in a litre of solution, like 90 g/L, nor "
                            "grams in water, like "
                            "99 g/kg water",
                            node->key, node->text);
    point->grams = point->per_water ? read.value * 1000 : read.value;
    return AQ_OK;
}

static aq_status read_temperature_key(aq_walk *walk, aq_solubility_point *point, const aq_node *node)
{
    aq_error err = { 0 };
    aq_quantity temperature;

    if (aq_quantity_read(&temperature, node->key, AQ_WANT_TEMPERATURE, &walk->said, &err) != AQ_OK) {
        err.place = node->key_place;
        aq_error_within(&err, "solubility: ");
        return aq_walk_add(walk, &err);
    }
    if (temperature.value < AQ_TEMPERATURE_LEAST || temperature.value > 100)
        return aq_walk_fail(walk, AQ_OUT_OF_RANGE, node->key_place,
                            "solubility: %s is not between -10 and 100 degC", node->key);
    point->temperature = temperature.value;
    return AQ_OK;
}

/* Keeps the points in rising order of temperature, as an interpolation wants them. */
static aq_status insert_point(aq_walk *walk, aq_part *part, aq_solubility_point point, const aq_node *node)
{
    size_t at = part->solubility.count;

    if (!aq_list_add(walk->arena, &part->solubility, sizeof point))
        return aq_walk_fail(walk, AQ_NO_MEMORY, node->place, "out of memory");
    while (at > 0 && part->solubility.at[at - 1].temperature > point.temperature) {
        part->solubility.at[at] = part->solubility.at[at - 1];
        at--;
    }
    part->solubility.at[at] = point;
    if (at > 0 && part->solubility.at[at - 1].temperature == point.temperature)
        return aq_walk_fail(walk, AQ_DUPLICATE, node->key_place, "solubility: %s is given twice", node->key);
    return AQ_OK;
}

static aq_status read_solubility(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    enum { POINTS_MOST = 100 };
    aq_part *part = into;
    aq_status status = AQ_OK;

    if (node->shape != AQ_NODE_MAP || node->count == 0 || node->count > POINTS_MOST)
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place,
                            "solubility: wanted are temperatures with what dissolves then, like %s",
                            field->example);
    for (const aq_node *child = node->first; child; child = child->next) {
        aq_solubility_point point = { 0 };
        aq_status one = read_temperature_key(walk, &point, child);

        if (one == AQ_OK)
            one = read_solubility_grams(walk, &point, child);
        if (one == AQ_OK)
            one = insert_point(walk, part, point, child);
        status = status == AQ_OK ? one : status;
    }
    return status;
}

/* ---- a rate ---- */

/* A range, or a ratio as cleaners and dips print it: 1 in 200 is 5 mL/L. */
static aq_status read_rate(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_range *rate = into;
    aq_ratio ratio = { 0 };
    aq_field row = *field;
    const char *text = node->shape == AQ_NODE_SCALAR ? node->text : "";

    row.read =
        strchr(text, ':') || strstr(text, " in ") || strstr(text, " plus ") ? AQ_READ_RATIO : AQ_READ_RANGE;
    if (row.read == AQ_READ_RANGE)
        return aq_field_read(walk, &row, node, rate);
    row.bounded = false;
    if (aq_field_read(walk, &row, node, &ratio) != AQ_OK)
        return aq_complaints_status(walk->complaints);
    rate->low = rate->high = aq_quantity_of(1 / ratio.parts, AQ_KIND_RATE);
    return AQ_OK;
}

/* ---- the part ---- */

/* Codes of the Globally Harmonized System, Annex 3: H and three digits, some with letters (H360FD), joined by + where
 * they are said together (H301+H311); EUH and three digits in the European Union. */
static bool hazard_code(const char *text)
{
    size_t letters = strncmp(text, "EUH", 3) == 0 ? 3 : strncmp(text, "H", 1) == 0 ? 1 : 0;
    const char *digits = text + letters;
    size_t more;

    if (letters == 0 || strspn(digits, "0123456789") != 3)
        return false;
    more = strspn(digits + 3, "ABDFdfi");
    if (digits[3 + more] == '+')
        return hazard_code(digits + 4 + more);
    return digits[3 + more] == '\0';
}

static aq_status check_hazards(aq_walk *walk, const aq_part *part, const aq_node *node)
{
    const aq_node *hazards = aq_node_get(node, "hazards");
    aq_status status = AQ_OK;

    for (size_t i = 0; i < part->hazards.count; i++)
        if (!hazard_code(part->hazards.at[i]))
            status = aq_walk_fail(walk, AQ_SYNTAX, hazards->place,
                                  "hazards: %s is no hazard code of a safety data sheet, like H318",
                                  part->hazards.at[i]);
    return status;
}

static aq_status compose_from_formula(aq_walk *walk, aq_part *part, const aq_node *node)
{
    const aq_node *formula = aq_node_get(node, "formula");
    aq_composition *composition = aq_arena_take(walk->arena, sizeof *composition);
    aq_error err = { 0 };

    if (!composition)
        return aq_walk_fail(walk, AQ_NO_MEMORY, node->place, "out of memory");
    if (aq_composition_of_formula(composition, part->formula, &err) != AQ_OK) {
        int column = err.place.column > 0 ? err.place.column - 1 : 0;

        err.place = formula->place;
        err.place.column += column;
        err.place.span -= column < err.place.span ? column : 0;
        aq_error_within(&err, "formula: ");
        return aq_walk_add(walk, &err);
    }
    part->composition = composition;
    return AQ_OK;
}

static aq_status compose(aq_walk *walk, aq_part *part, const aq_node *node)
{
    if (part->formula && part->analysis.given)
        return aq_walk_fail(walk, AQ_CONFLICT, part->analysis.place,
                            "a formula and an analysis both say what is in it: give one of them");
    if (part->formula)
        return compose_from_formula(walk, part, node);
    return part->analysis.given ? aq_label_compose(walk, part) : AQ_OK;
}

static aq_status check_slope(aq_walk *walk, const aq_part *part, const aq_node *node)
{
    const aq_node *ec = aq_node_get(node, "ec");
    aq_nutrient nutrient;

    if (!part->ec.given)
        return AQ_OK;
    if (aq_slope_check(walk, &part->ec, ec->place) != AQ_OK)
        return AQ_OUT_OF_RANGE;
    if (!part->ec.element[0])
        return AQ_OK;
    if (!part->formula && !part->analysis.given)
        return aq_walk_fail(walk, AQ_MISSING, ec->place, "ec: a slope per %s needs the analysis of this part",
                            part->ec.element);
    nutrient = aq_nutrient_find(part->ec.element);
    if (nutrient == AQ_NUTRIENT_COUNT)
        return aq_walk_fail(walk, AQ_UNKNOWN_NAME, ec->place, "ec: %s is no element of an analysis",
                            part->ec.element);
    if (part->composition && aq_composition_nutrient(part->composition, nutrient) <= 0)
        return aq_walk_fail(walk, AQ_CONFLICT, ec->place, "ec: it counts per %s, and this part brings none",
                            part->ec.element);
    return AQ_OK;
}

static aq_status check_solubility(aq_walk *walk, const aq_part *part, const aq_node *node)
{
    for (size_t i = 0; i < part->solubility.count; i++)
        if (part->solubility.at[i].per_water && !part->saturated.given)
            return aq_walk_fail(
                walk, AQ_MISSING, aq_node_get(node, "solubility")->place,
                "solubility: grams per kg of water need `saturated`, the density of the saturated "
                "solution, to become grams per litre");
    return AQ_OK;
}

/* "1 oz/gal" is read as a weight; of a liquid it may be the fluid ounce as well. */
static aq_status check_ounce(aq_walk *walk, const aq_part *part, const aq_node *node)
{
    const aq_node *rate = aq_node_get(node, "rate");
    bool liquid = part->density.given || (part->analysis.given && part->analysis.basis == AQ_BASIS_WV);

    if (!liquid || !aq_kind_equal(part->rate.high.kind, AQ_KIND_CONTENT) || rate->shape != AQ_NODE_SCALAR ||
        !(strstr(rate->text, "oz") || strstr(rate->text, "ounce")))
        return AQ_OK;
    return aq_walk_fail(walk, AQ_AMBIGUOUS, rate->place,
                        "rate: an ounce of a liquid can be the fluid one, 29.57 mL in the US and 28.41 mL "
                        "imperial, or 28.35 g: write fl-oz-us or fl-oz-imp, or the weight in g");
}

static aq_status check_part(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_part *part = entry;
    aq_status status[] = { compose(walk, part, node), check_slope(walk, part, node),
                           check_hazards(walk, part, node), check_solubility(walk, part, node), AQ_OK };

    if (part->rate.high.given && part->rate.high.value <= 0)
        status[4] = aq_walk_fail(walk, AQ_OUT_OF_RANGE, aq_node_get(node, "rate")->place,
                                 "rate: the top of a label's rate is more than 0");
    else if (part->rate.high.given)
        status[4] = aq_rate_check(walk, part->rate.high, aq_node_get(node, "rate")->place, "rate");
    if (part->rate.high.given && status[4] == AQ_OK)
        status[4] = check_ounce(walk, part, node);
    for (size_t i = 0; i < sizeof status / sizeof *status; i++)
        if (status[i] != AQ_OK)
            return status[i];
    return AQ_OK;
}

static bool only_scales(const aq_bench *bench)
{
    return bench && bench->count > 0 && !aq_bench_finest(bench, false);
}

bool aq_part_weighed(const aq_part *part, const aq_bench *bench)
{
    bool by_mass = (part->rate.high.given && aq_kind_equal(part->rate.high.kind, AQ_KIND_CONTENT)) ||
                   (part->ec.given && part->ec.by_mass);
    bool by_volume = (part->rate.high.given && !aq_kind_equal(part->rate.high.kind, AQ_KIND_CONTENT)) ||
                     part->per_litre || (part->ec.given && !part->ec.by_mass && !part->ec.element[0]);

    if (part->formula)
        return true;
    if (part->density.given)
        return only_scales(bench);
    if (part->analysis.given && part->analysis.basis == AQ_BASIS_WW)
        return true;
    return by_mass || (only_scales(bench) && !by_volume);
}

static const aq_field part_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_part, name),
      .help = "what the sheet calls it; concentrate where it has no name",
      .example = "Part A" },
    { .key = "rate",
      .read = AQ_READ_CUSTOM,
      .custom = read_rate,
      .want = AQ_WANT_RATE | AQ_WANT_CONTENT,
      .bounded = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .into = offsetof(aq_part, rate),
      .help = "the label's rate or range; its top is kept",
      .example = "1-4 mL/L" },
    { .key = "density",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_CONTENT,
      .bounded = true,
      .least = AQ_DENSITY_LEAST,
      .most = AQ_DENSITY_MOST,
      .into = offsetof(aq_part, density),
      .help = "mass of a litre: needed for % w/w of a liquid that is poured",
      .example = "1.26 kg/L" },
    { .key = "analysis",
      .read = AQ_READ_ENTRY,
      .shape = &aq_analysis_shape,
      .into = offsetof(aq_part, analysis),
      .help = "the label's guaranteed analysis",
      .example = "{basis: w/v, as: oxide, NO3-N: 4.7 %, K2O: 1.0 %}" },
    { .key = "formula",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_part, formula),
      .help = "of a pure salt, instead of an analysis",
      .example = "MgSO4.7H2O" },
    { .key = "ec",
      .read = AQ_READ_SLOPE,
      .into = offsetof(aq_part, ec),
      .help = "EC that it adds, from the label or a jar test",
      .example = "0.42 mS/cm per mL/L" },
    { .key = "hazards",
      .read = AQ_READ_TEXTS,
      .into = offsetof(aq_part, hazards),
      .help = "hazard codes of the supplier's safety data sheet",
      .example = "[H318]" },
    { .key = "use",
      .read = AQ_READ_CHOICE,
      .choices = use_words,
      .into = offsetof(aq_part, use),
      .help = "where it goes: a foliar part is left out of tanks",
      .example = "foliar" },
    { .key = "of",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_part, of),
      .help = "the substance, which brings its hazards",
      .example = "nitric acid" },
    { .key = "to",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_part, to),
      .help = "EC that the tank reads after this part: it goes in first, up to there",
      .example = "0.35 mS/cm" },
    { .key = "tank",
      .read = AQ_READ_CHOICE,
      .choices = tank_words,
      .into = offsetof(aq_part, tank),
      .help = "stock tank it goes into; both: half each",
      .example = "A" },
    { .key = "solubility",
      .read = AQ_READ_CUSTOM,
      .custom = read_solubility,
      .help = "what dissolves, by temperature",
      .example = "{10 degC: 90 g/L, 20 degC: 111 g/L}" },
    { .key = "saturated",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_CONTENT,
      .bounded = true,
      .least = AQ_DENSITY_LEAST,
      .most = AQ_DENSITY_MOST,
      .into = offsetof(aq_part, saturated),
      .help = "density of the saturated solution, for a solubility in g/kg water",
      .example = "1.08 kg/L" },
};

const aq_shape aq_part_shape = {
    .noun = "part",
    .fields = part_fields,
    .count = sizeof part_fields / sizeof *part_fields,
    .size = sizeof(aq_part),
    .has_place = true,
    .place_into = offsetof(aq_part, place),
    .has_name = true,
    .name_into = offsetof(aq_part, name),
    .check = check_part,
};

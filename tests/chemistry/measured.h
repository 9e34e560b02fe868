/* Measured conductivities in tests/chemistry/data, beside what the library makes of them; for the test that holds
 * it to its figures and for tests/bench/ec_table, which prints them. */
#ifndef MEASURED_H
#define MEASURED_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/composition.h"
#include "chemistry/conductivity.h"
#include "chemistry/formula.h"

enum { MEASURED_MOST = 600 };

typedef struct {
    const char *set;
    char name[24];
    double celsius, strength, measured, computed,
        plain; /* strength: mol/L or ionic, as the set says; mS/cm */
    double ionic_strength, ph;
    double equivalents[AQ_ION_COUNT]; /* of each ion asked about, eq/L */
    bool ph_measured;                 /* of a water: it has one */
    bool settled;
} measured_row;

typedef struct {
    measured_row at[MEASURED_MOST];
    int count;
} measured_set;

/* Limiting conductivities simply added, each ion in its form of reference (H+ and OH- from the acid). */
static inline double plain_sum(const aq_solution *solution)
{
    double sum = 0, warm = solution->temperature - 25;

    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++)
        sum += solution->total[i] * aq_ion_conductivity((aq_ion)i);
    if (solution->mode == AQ_PH_ALKALINITY)
        sum += pow(10, -solution->ph) * aq_ion_conductivity(AQ_ION_ACID);
    else
        sum += fabs(solution->total[AQ_ION_ACID]) *
               (solution->total[AQ_ION_ACID] > 0 ? aq_ion_conductivity(AQ_ION_ACID) : 198);
    return sum * (1 + 0.02 * warm);
}

static inline void measured_add(measured_set *set, const char *of, const char *name,
                                const aq_solution *solution, double strength, double measured)
{
    measured_row *row = &set->at[set->count++];
    aq_speciated speciated;
    bool done = aq_speciate(&speciated, solution);

    row->set = of;
    snprintf(row->name, sizeof row->name, "%s", name);
    row->celsius = solution->temperature;
    row->strength = strength;
    row->measured = measured;
    row->computed = aq_conductivity(&speciated, solution->temperature);
    row->plain = plain_sum(solution);
    row->ionic_strength = speciated.ionic_strength;
    row->ph = speciated.ph;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        row->equivalents[i] = solution->total[i] * abs(aq_ion_of((aq_ion)i)->charge);
    row->settled = done && speciated.settled;
}

/* `mol_per_litre` of a salt. */
static inline bool solution_of_salt(aq_solution *out, const char *formula, double mol_per_litre,
                                    double celsius)
{
    aq_composition salt;
    aq_formula read;

    memset(out, 0, sizeof *out);
    out->temperature = celsius;
    if (aq_formula_read(&read, formula, NULL) != AQ_OK ||
        aq_composition_of_formula(&salt, formula, NULL) != AQ_OK)
        return false;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        out->total[i] = salt.ion[i] * read.molar_mass * mol_per_litre;
    return true;
}

/* The next row of numbers of a file of data: its first field to `name`, all fields to `field` (0 where empty, which
 * `empty` tells). Skips comments and the heading. */
static inline bool next_row(FILE *file, char name[24], double *field, bool *empty, int most)
{
    char line[400];

    while (fgets(line, sizeof line, file)) {
        if (line[0] == '#' || strncmp(line, "no,", 3) == 0 || strncmp(line, "salt,", 5) == 0)
            continue;
        snprintf(name, 24, "%.*s", (int)strcspn(line, ","), line);
        char *at = line;
        for (int i = 0; i < most; i++) {
            empty[i] = *at == ',' || *at == '\n' || *at == '\0';
            field[i] = strtod(at, NULL);
            at += strcspn(at, ",\n");
            at += *at == ',';
        }
        return true;
    }
    return false;
}

static inline FILE *open_data(const char *name)
{
    char path[400];

    snprintf(path, sizeof path, "%s/chemistry/data/%s", AQ_TEST_DATA, name);
    return fopen(path, "r");
}

/* Stuyfzand 1987, 20 degC, rows that balance within 5 %; alkalinity with the measured pH, 7.5 where none was
 * measured. */
static inline bool read_natural_waters(measured_set *set)
{
    static const struct {
        int column;
        aq_ion ion;
        double molar_mass;
    } columns[] = {
        { 1, AQ_ION_CHLORIDE, 35.45 }, { 2, AQ_ION_CARBONATE, 61.016 }, { 3, AQ_ION_SULFATE, 96.056 },
        { 4, AQ_ION_NITRATE, 62.004 }, { 6, AQ_ION_SODIUM, 22.990 },    { 7, AQ_ION_POTASSIUM, 39.098 },
        { 8, AQ_ION_CALCIUM, 40.078 }, { 9, AQ_ION_MAGNESIUM, 24.305 }, { 10, AQ_ION_AMMONIUM, 18.039 },
    };
    FILE *file = open_data("natural_waters.csv");
    double field[13];
    bool empty[13];
    char name[24];

    if (!file)
        return false;
    while (next_row(file, name, field, empty, 13)) {
        aq_solution water = { .temperature = 20, .mode = AQ_PH_ALKALINITY, .ph = empty[5] ? 7.5 : field[5] };
        if (fabs(field[12]) > 5)
            continue;
        for (size_t i = 0; i < sizeof columns / sizeof *columns; i++)
            water.total[columns[i].ion] = field[columns[i].column] / columns[i].molar_mass / 1000;
        measured_add(set, "natural waters", name, &water, 0, field[11]);
        set->at[set->count - 1].ph_measured = !empty[5];
    }
    fclose(file);
    return true;
}

/* McCleskey 2011 at 5, 25 and 40 degC, 0.001 to 0.05 mol/kg; CaSO4 only below its solubility (0.015). */
static inline bool read_single_salts(measured_set *set)
{
    static const double warmth[] = { 5, 25, 40 }, strength[] = { 0.001, 0.002, 0.005, 0.01, 0.02, 0.05 };
    FILE *file = open_data("single_salts.csv");
    double c[9];
    bool empty[9];
    char name[24];

    if (!file)
        return false;
    while (next_row(file, name, c, empty, 9))
        for (int i = 0; i < 18; i++) {
            double t = warmth[i / 6], m = strength[i % 6], root = sqrt(m);
            double lambda =
                (c[1] * t + c[2]) * t + c[3] - ((c[4] * t + c[5]) * t + c[6]) * root / (1 + c[7] * root);
            aq_solution salt;
            /* salts of lithium, caesium, barium, strontium, bromide and fluoride are not ours */
            if ((strcmp(name, "CaSO4") == 0 && m > 0.012) || !solution_of_salt(&salt, name, m * 0.99705, t))
                continue;
            measured_add(set, "McCleskey 2011", name, &salt, m, c[8] * lambda * m);
        }
    fclose(file);
    return true;
}

/* CRC Handbook, 25 degC, to 0.1 eq/L, that row too whatever an arithmetic unit makes of 0.1. */
static inline bool read_crc(measured_set *set)
{
    FILE *file = open_data("conductivity_25.csv");
    double field[3];
    bool empty[3];
    char name[24];

    if (!file)
        return false;
    while (next_row(file, name, field, empty, 3)) {
        bool divalent = strstr(name, "SO4") || strcmp(name, "CaCl2") == 0 || strcmp(name, "MgCl2") == 0;
        aq_solution salt;
        if (field[1] < 0.1001 && solution_of_salt(&salt, name, field[1] / (divalent ? 2 : 1), 25))
            measured_add(set, "CRC Handbook", name, &salt, field[1], field[1] * field[2]);
    }
    fclose(file);
    return true;
}

typedef struct {
    int count;
    double mean, median, ninth,
        worst; /* %; mean with its sign, the others absolute; ninth: nine of ten are below */
} measured_errors;

static inline int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Three kinds of natural water whose readings do not follow from their analyses. */
static inline bool is_acid(const measured_row *row)
{
    return row->ph_measured && row->ph < 5;
}

static inline bool is_dilute(const measured_row *row)
{
    return row->measured < 0.2;
}

static inline bool is_brine(const measured_row *row)
{
    return row->ionic_strength > 1;
}

/* None of those, and the pH was measured: what a grower might have. */
static inline bool is_of_use(const measured_row *row)
{
    return !is_acid(row) && !is_dilute(row) && !is_brine(row) && row->ph_measured;
}

/* Errors in percent of the rows that `chosen` (NULL: all) admits; of the plain sum with `plain`. */
static inline measured_errors errors_of(const measured_set *set, bool (*chosen)(const measured_row *),
                                        bool plain)
{
    double size[MEASURED_MOST];
    measured_errors out = { 0 };

    for (int i = 0; i < set->count; i++) {
        const measured_row *row = &set->at[i];
        double error = 100 * ((plain ? row->plain : row->computed) / row->measured - 1);
        if (chosen && !chosen(row))
            continue;
        out.mean += error;
        size[out.count++] = fabs(error);
    }
    qsort(size, (size_t)out.count, sizeof *size, by_size);
    if (out.count > 0) {
        out.mean /= out.count;
        out.median = size[out.count / 2];
        out.ninth = size[(int)(0.9 * (out.count - 1) + 0.5)];
        out.worst = size[out.count - 1];
    }
    return out;
}

#endif

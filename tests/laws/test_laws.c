/* Laws that hold for every mix, over seeded random tanks, and the arithmetic done again forward.
 *
 *     twice the volume is twice each dose
 *     litres and gallons agree
 *     the order of the parts in the file does not matter
 *     no rounding passes a label rate
 *     a bound that does not bind changes nothing
 *     poured into the stated water, the amounts that a tool shows, or the exact ones where there is no tool, read what
 *     the sheet expects
 *
 * The forward arithmetic shares nothing with the library: it knows the tank from the numbers it was made of, takes only
 * the amounts from the sheet, and adds up salts and grams. Sources: conservation of salts (FAO Irrigation and Drainage
 * Paper 29, blending of waters); NIST SP 811 for the US gallon. */
#include "check.h"

#include <aliquot.h>
#include <stdio.h>
#include <stdlib.h>

enum { SITES = 10000, PARTS = 4, TEXT = 4096 };
static const double gallon = 3.785411784; /* L, NIST SP 811, exact */

typedef struct {
    double ratio;    /* mL/L in one share */
    double top;      /* mL/L */
    double slope;    /* mS/cm per mL/L */
    double nitrogen; /* g per 100 mL */
} bottle;

typedef struct {
    int parts;
    bottle part[PARTS];
    bool grouped, gallons, bench, reversed;
    double group_slope; /* mS/cm per share */
    double volume, heel, heel_ec, water_ec, ec;
    double slack; /* factor on every top */
} tank;

static unsigned long long state_of_chance;

/* xorshift64*: Marsaglia 2003, Vigna 2016. */
static double chance(double least, double most)
{
    state_of_chance ^= state_of_chance >> 12;
    state_of_chance ^= state_of_chance << 25;
    state_of_chance ^= state_of_chance >> 27;
    return least +
           (most - least) * (double)((state_of_chance * 2685821657736338717ULL) >> 11) / 9007199254740992.0;
}

static double rounded(double value, double step)
{
    return floor(value / step + 0.5) * step;
}

static tank random_tank(unsigned seed)
{
    tank t = { .slack = 1 };

    state_of_chance = 0x9E3779B97F4A7C15ULL ^ (seed * 0xBF58476D1CE4E5B9ULL);
    for (int i = 0; i < 8; i++)
        chance(0, 1);
    t.parts = 1 + (int)chance(0, PARTS - 0.001);
    t.grouped = t.parts > 1 && chance(0, 1) < 0.5;
    t.bench = chance(0, 1) < 0.5;
    t.volume = rounded(exp(chance(log(2), log(400))), 0.1);
    t.heel = chance(0, 1) < 0.5 ? 0 : rounded(t.volume * chance(0, 0.9), 0.1);
    t.heel_ec = rounded(chance(0.2, 3), 0.01);
    t.water_ec = rounded(chance(0, 0.9), 0.01);
    for (int i = 0; i < t.parts; i++) {
        t.part[i].ratio = rounded(chance(0.2, 3), 0.1);
        t.part[i].top = t.part[i].ratio * (t.grouped ? 3 : 1) + rounded(chance(0, 4), 0.1);
        t.part[i].slope = rounded(chance(0.08, 0.6), 0.01);
        t.part[i].nitrogen = rounded(chance(0.5, 8), 0.1);
    }
    t.group_slope = rounded(chance(0.2, 0.9), 0.01);
    double base = (t.heel * t.heel_ec + (t.volume - t.heel) * t.water_ec) / t.volume;
    t.ec = rounded(base + chance(0.1, 2.5), 0.01);
    return t;
}

static int put(char *text, int at, const char *format, ...) AQ_PRINTF(3, 4);
static int put(char *text, int at, const char *format, ...)
{
    va_list values;

    va_start(values, format);
    at += vsnprintf(text + at, TEXT - (size_t)at, format, values);
    va_end(values);
    assert_true(at < TEXT);
    return at;
}

/* The tank as a line of options; in gallons every volume and rate is written per gallon. */
static void write_tank(char *text, const tank *t)
{
    const char *litre = t->gallons ? "gal-us" : "L";
    double unit = t->gallons ? gallon : 1;
    int at = put(text, 0, "{volume: %.17g %s, water-ec: %.17g mS/cm, ec: %.17g mS/cm, ", t->volume / unit,
                 litre, t->water_ec, t->ec);

    if (t->heel > 0)
        at = put(text, at, "heel: %.17g %s, heel-ec: %.17g mS/cm, ", t->heel / unit, litre, t->heel_ec);
    if (t->bench)
        at = put(text, at,
                 "bench: [{name: small, holds: 10 mL, marks: 0.2 mL}, "
                 "{name: large, holds: 250 mL, marks: 2 mL}], ");
    at = put(text, at, "part: [");
    for (int i = 0; i < t->parts; i++) {
        int p = t->reversed ? t->parts - 1 - i : i;
        const bottle *b = &t->part[p];

        at = put(text, at, "{name: P%d, rate: 0-%.17g mL/%s, analysis: {basis: w/v, N: %.17g %%}", p,
                 b->top * t->slack * unit, litre, b->nitrogen);
        if (!t->grouped)
            at = put(text, at, ", ec: %.17g mS/cm per mL/L", b->slope);
        at = put(text, at, "}, ");
    }
    at = put(text, at, "]");
    if (t->grouped) {
        at = put(text, at, ", together: [{parts: {");
        for (int i = 0; i < t->parts; i++)
            at = put(text, at, "P%d: %.17g mL/L, ", i, t->part[i].ratio);
        at = put(text, at, "}, ec: %.17g mS/cm}]", t->group_slope);
    }
    put(text, at, "}");
}

/* What the sheet says, in mL and mS/cm; the arena is freed, so numbers only. */
typedef struct {
    double exact[PARTS], amount[PARTS];
    double ec, within, nitrogen;
    aq_outcome outcome;
} answer;

static double millilitres(aq_amount amount)
{
    if (strcmp(amount.unit, "L") == 0)
        return amount.value * 1000;
    return strcmp(amount.unit, "gal-us") == 0 ? amount.value * gallon * 1000 : amount.value;
}

static void take_rows(answer *a, const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];

        if (row->what != AQ_DO_POUR)
            continue;
        int p = atoi(row->part + 1);
        /* of a pre-dilution, `concentrate` is the product in what is drawn, after rounding */
        bool drawn = row->concentrate.given;
        double share = drawn ? row->amount.value / row->exact.value : 1;

        a->exact[p] += drawn ? millilitres(row->concentrate) : millilitres(row->exact);
        a->amount[p] += drawn ? millilitres(row->concentrate) * share : millilitres(row->amount);
    }
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, "N") == 0)
            a->nitrogen = sheet->figures.at[i].amount.value;
}

static answer ask(const tank *t)
{
    static char text[TEXT];
    static aq_complaints complaints;
    aq_arena *arena = aq_arena_new(0);
    aq_setting setting = { .today = { { 2026, 3, 2 }, -1 } };
    answer a = { .ec = NAN };
    aq_node *node;
    aq_sheet *sheet;

    write_tank(text, t);
    memset(&complaints, 0, sizeof complaints);
    assert_int_equal(aq_node_yaml(&node, arena, text, strlen(text), "tank", NULL), AQ_OK);
    if (aq_job_answer(&sheet, arena, aq_job_find("mix"), node, &setting, &complaints) != AQ_OK)
        fail_msg("%s\n%s", text, complaints.at[0].text);
    a.outcome = sheet->outcome;
    a.ec = sheet->expect_ec.value;
    a.within = sheet->expect_ec.within;
    take_rows(&a, sheet);
    aq_arena_free(arena);
    return a;
}

static void check_same(const char *law, unsigned seed, const tank *t, const answer *a, const answer *b,
                       double factor)
{
    char row[64];

    for (int p = 0; p < t->parts; p++) {
        snprintf(row, sizeof row, "%s, tank %u, P%d", law, seed, p);
        check_within(row, b->exact[p], a->exact[p] * factor, 1e-7 * fmax(1e-3, a->exact[p] * factor));
    }
}

static void test_twice_the_volume_is_twice_each_dose(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed), twice = t;
        answer a = ask(&t), b;

        twice.volume *= 2;
        twice.heel *= 2;
        b = ask(&twice);
        check_same("twice the volume", seed, &t, &a, &b, 2);
        if (!t.bench)
            check_within("twice the volume, EC", b.ec, a.ec,
                         0.011 * t.ec); /* both rounded to 3 figures, 0.5 % each */
    }
}

static void test_litres_and_gallons_agree(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed), other = t;
        answer a = ask(&t), b;

        other.gallons = true;
        b = ask(&other);
        check_same("gallons", seed, &t, &a, &b, 1);
        assert_int_equal(a.outcome, b.outcome);
    }
}

static void test_the_order_of_the_parts_does_not_matter(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed), other = t;
        answer a = ask(&t), b;

        other.reversed = true;
        b = ask(&other);
        check_same("reversed", seed, &t, &a, &b, 1);
    }
}

static void test_a_bound_that_does_not_bind_changes_nothing(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed), loose = t;
        answer a, b;

        t.ec = fmin(t.ec, 1.2); /* most tanks stay far from their tops */
        loose = t;
        if (!t.grouped && t.parts > 1)
            continue; /* the tops are the label's ratio there, so they say more than a bound */
        a = ask(&t);
        if (a.outcome != AQ_MET)
            continue;
        loose.slack = 1.7;
        b = ask(&loose);
        check_same("looser tops", seed, &t, &a, &b, 1);
    }
}

static void test_no_rounding_passes_a_label_rate(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed);
        answer a = ask(&t);

        for (int p = 0; p < t.parts; p++)
            if (a.amount[p] > t.part[p].top * t.volume * (1 + 1e-9))
                fail_msg("tank %u: %.17g mL of P%d is over the label's %.17g", seed, a.amount[p], p,
                         t.part[p].top * t.volume);
    }
}

static void test_poured_forward_the_tank_reads_what_the_sheet_expects(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed < SITES; seed++) {
        tank t = random_tank(seed);
        answer a = ask(&t);
        double salts = t.heel * t.heel_ec + (t.volume - t.heel) * t.water_ec; /* L mS/cm */
        double grams = 0;
        char row[64];

        for (int p = 0; p < t.parts; p++) {
            double gets = t.bench ? a.amount[p] : a.exact[p];

            salts += t.grouped ? t.group_slope * gets / t.part[p].ratio / t.parts : t.part[p].slope * gets;
            grams += gets * t.part[p].nitrogen / 100;
        }
        snprintf(row, sizeof row, "tank %u, EC", seed);
        check_within(row, a.ec, salts / t.volume, 1e-6 + (t.grouped ? 0.02 * fabs(a.ec - t.water_ec) : 0));
        if (t.heel > 0)
            continue; /* what the old solution holds is not known, so neither is the tank's nitrogen */
        snprintf(row, sizeof row, "tank %u, N", seed);
        check_within(row, a.nitrogen, grams / t.volume * 1000, 1e-6 * fmax(1, a.nitrogen));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_twice_the_volume_is_twice_each_dose),
        cmocka_unit_test(test_litres_and_gallons_agree),
        cmocka_unit_test(test_the_order_of_the_parts_does_not_matter),
        cmocka_unit_test(test_a_bound_that_does_not_bind_changes_nothing),
        cmocka_unit_test(test_no_rounding_passes_a_label_rate),
        cmocka_unit_test(test_poured_forward_the_tank_reads_what_the_sheet_expects),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}

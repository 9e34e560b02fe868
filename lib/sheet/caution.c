/* The rules. A rule is a row: what provokes it, what it says, whether it refuses. Sources of what must not meet:
 * Washington State Department of Health advice on bleach (with acid chlorine, with ammonia chloramines, with peroxide
 * oxygen and splashing); public cleaning-safety pages (with alcohol chloroform); University of California ANR (calcium
 * with sulfate or phosphate in concentrates); UMass Extension acid fact sheet (acid into water, heat of dilution). That
 * ammonium feeds and urea count as ammonia, and peroxide with alcohol as a fire, is from memory. */
#include "sheet/caution.h"

#include <math.h>
#include <string.h>

#include "base/decimal.h"
#include "sheet/hazard.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A rule sees the sheet, what is handled and the classes of each. */
typedef struct {
    aq_sheet *sheet;
    const aq_handled *handled;
    const unsigned *classes;
    size_t count;
} aq_scene;

static aq_status no_memory(aq_error *err)
{
    return aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory while working out the hazards");
}

/* Hazards of the sheet */

static aq_hazard *hazard_of_code(aq_sheet *sheet, const char *code)
{
    for (size_t i = 0; i < sheet->hazards.count; i++)
        if (strcmp(sheet->hazards.at[i].code, code) == 0)
            return &sheet->hazards.at[i];
    return NULL;
}

/* Whether the list "Part A, Part B" names `name`, whole: "A" is not in it. */
static bool named_in(const char *list, const char *name)
{
    static const char comma[] = ", ";
    size_t length = strlen(name);
    for (const char *at = list; at; at = strstr(at, comma)) {
        at += at == list ? 0 : strlen(comma);
        if (strncmp(at, name, length) == 0 && (at[length] == '\0' || strncmp(at + length, comma, 2) == 0))
            return true;
    }
    return false;
}

/* One line a code, with everything that brings it. */
static bool add_code(aq_sheet *sheet, const char *code, const char *name)
{
    aq_hazard *hazard = hazard_of_code(sheet, code);
    if (hazard) {
        if (!hazard->part || !name || named_in(hazard->part, name))
            return true;
        hazard->part = aq_arena_format(sheet->arena, "%s, %s", hazard->part, name);
        return hazard->part != NULL;
    }
    hazard = aq_list_add(sheet->arena, &sheet->hazards, sizeof *hazard);
    if (!hazard)
        return false;
    const char *text = aq_hazard_text(code);
    *hazard = (aq_hazard){ .code = code, .text = text ? text : "see the safety data sheet", .part = name };
    return true;
}

bool aq_hazard_rule(aq_sheet *sheet, const char *rule, const char *text, bool refuses)
{
    for (size_t i = 0; i < sheet->hazards.count; i++)
        if (strcmp(sheet->hazards.at[i].text, text) == 0)
            return true;
    aq_hazard *hazard = aq_list_add(sheet->arena, &sheet->hazards, sizeof *hazard);
    if (!hazard)
        return false;
    *hazard = (aq_hazard){ .code = "", .rule = rule, .text = text, .refuses = refuses };
    return true;
}

static bool add_codes(aq_sheet *sheet, const char *codes, const char *name)
{
    while (*codes) {
        size_t length = strcspn(codes, " ");
        const char *code = aq_arena_text(sheet->arena, codes, length);
        if (!code || !add_code(sheet, code, name))
            return false;
        codes += length + (codes[length] == ' ');
    }
    return true;
}

/* A figure such as the acid in all could be poured by too. */
static bool could_be_poured(const aq_figure *figure)
{
    const char *unit = figure->amount.given && figure->amount.unit ? figure->amount.unit : "";
    return strcmp(unit, "mL") == 0 || strcmp(unit, "g") == 0;
}

void aq_sheet_refuse(aq_sheet *sheet)
{
    size_t kept = 0;
    sheet->outcome = AQ_REFUSED;
    sheet->rows.count = sheet->if_reads.count = sheet->beside.count = sheet->next.count = 0;
    sheet->instead = 0;
    sheet->expect_ec = (aq_amount){ 0 };
    sheet->expect_ph_low = sheet->expect_ph_high = NAN;
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (!could_be_poured(&sheet->figures.at[i]))
            sheet->figures.at[kept++] = sheet->figures.at[i];
    sheet->figures.count = kept;
}

/* Codes of the label and of the substance, and what practice adds. */
static bool add_handled(aq_sheet *sheet, const aq_handled *handled, const aq_substance *substance)
{
    const aq_part *part = handled->part;
    const char *of = handled->substance ? handled->substance : part ? part->of : NULL;

    for (size_t i = 0; part && handled->concentrate && i < part->hazards.count; i++)
        if (!add_code(sheet, part->hazards.at[i], handled->name))
            return false;
    if (!substance)
        return !of ||
               aq_sheet_caution(sheet, "%s is not in our table of substances: see its safety data sheet", of);
    if (!add_codes(sheet, aq_substance_codes(substance, handled->strength), handled->name))
        return false;
    return !substance->practice || aq_sheet_caution(sheet, "%s", substance->practice);
}

/* Wear */

static bool add_wear(aq_sheet *sheet, const char *what)
{
    for (size_t i = 0; i < sheet->wear.count; i++)
        if (strstr(sheet->wear.at[i], what))
            return true;
    const char **place = aq_list_add(sheet->arena, &sheet->wear, sizeof *place);
    if (place)
        *place = what;
    return place != NULL;
}

/* From a code to clothing: P280 of the GHS asks for "protective gloves/protective clothing/eye protection/face
 * protection" with these; which of them is common practice, no source. The stronger stands first: plain eye
 * protection is not asked for beside goggles. */
static const struct {
    const char *code;
    const char *wear[3];
} wears[] = {
    { "H314", { "eye protection: tight goggles", "gloves", "long sleeves and an apron" } },
    { "H318", { "eye protection" } },
    { "H319", { "eye protection" } },
    { "H315", { "gloves" } },
    { "H317", { "gloves" } },
    { "H301", { "gloves" } },
    { "H302", { "gloves" } },
    { "H360", { "gloves" } },
    { "H360FD", { "gloves" } },
    { "H335", { "fresh air, or a mask against dust and vapor" } },
    { "H331", { "fresh air, or a mask against dust and vapor" } },
    { "H373", { "fresh air, or a mask against dust and vapor" } },
};

static bool wear_for(aq_sheet *sheet, unsigned classes)
{
    for (size_t i = 0; i < COUNT(wears); i++) {
        if (!hazard_of_code(sheet, wears[i].code))
            continue;
        for (size_t j = 0; j < COUNT(wears[i].wear) && wears[i].wear[j]; j++)
            if (!add_wear(sheet, wears[i].wear[j]))
                return false;
    }
    bool burning_acid = (classes & (AQ_ACID | AQ_BASE)) && hazard_of_code(sheet, "H314");
    if (burning_acid && !add_wear(sheet, "face shield"))
        return false;
    if ((classes & AQ_ACID) && !add_wear(sheet, "eye protection"))
        return false;
    return !(classes & (AQ_HORMONE | AQ_ACID | AQ_HYPOCHLORITE)) || add_wear(sheet, "gloves");
}

/* Predicates of the rules */

/* Two different things, one of each class. */
static bool meet(const aq_scene *scene, unsigned one, unsigned other)
{
    for (size_t i = 0; i < scene->count; i++)
        for (size_t j = 0; j < scene->count; j++)
            if (i != j && (scene->classes[i] & one) && (scene->classes[j] & other))
                return true;
    return false;
}

static bool chlorine(const aq_scene *scene)
{
    return meet(scene, AQ_HYPOCHLORITE, AQ_ACID);
}

static bool chloramine(const aq_scene *scene)
{
    return meet(scene, AQ_HYPOCHLORITE, AQ_AMMONIUM);
}

static bool chloroform(const aq_scene *scene)
{
    return meet(scene, AQ_HYPOCHLORITE, AQ_ALCOHOL);
}

static bool oxygen(const aq_scene *scene)
{
    return meet(scene, AQ_HYPOCHLORITE, AQ_PEROXIDE);
}

static bool peracetic(const aq_scene *scene)
{
    return meet(scene, AQ_PEROXIDE, AQ_ACETIC);
}

static bool fire(const aq_scene *scene)
{
    return meet(scene, AQ_PEROXIDE, AQ_ALCOHOL);
}

static bool strong_base_with_acid(const aq_scene *scene)
{
    return meet(scene, AQ_BASE, AQ_ACID);
}

static unsigned class_named(const aq_scene *scene, const char *name)
{
    unsigned classes = 0;
    for (size_t i = 0; i < scene->count; i++)
        if (scene->handled[i].name && strcmp(scene->handled[i].name, name) == 0)
            classes |= scene->classes[i];
    return classes;
}

bool aq_row_pours(const aq_row *row)
{
    return (row->what == AQ_DO_POUR || row->what == AQ_DO_WEIGH || row->what == AQ_DO_PREDILUTE) && row->part;
}

static bool acid_row(const aq_scene *scene, const aq_row *row)
{
    return aq_row_pours(row) && (class_named(scene, row->part) & AQ_ACID);
}

/* Jobs that work on a tank with water in it. */
static bool tank_holds_water(const aq_sheet *sheet)
{
    static const char *const jobs[] = { "acid", "adjust", "topup", "trace", "flush" };
    for (size_t i = 0; i < COUNT(jobs); i++)
        if (strcmp(sheet->job, jobs[i]) == 0)
            return true;
    return sheet->heel.given && sheet->heel.value > 0;
}

/* Water measured into the vessel after an acid that met none: the sheet asks for water onto acid. */
static bool water_onto_acid(const aq_scene *scene)
{
    const aq_rows *rows = &scene->sheet->rows;
    bool acid = false;
    if (tank_holds_water(scene->sheet))
        return false;
    for (size_t i = 0; i < rows->count; i++) {
        if (rows->at[i].what == AQ_DO_WATER && !acid)
            return false;
        if (rows->at[i].what == AQ_DO_WATER)
            return true;
        acid = acid || acid_row(scene, &rows->at[i]);
    }
    return false;
}

static bool acid_handled(const aq_scene *scene)
{
    return (scene->sheet->classes & AQ_ACID) != 0;
}

static bool same_tank(const char *a, const char *b)
{
    return !a || !b || strcmp(a, b) == 0;
}

/* Calcium beside sulfate or phosphate in one stock tank. */
static bool stock_cloudy(const aq_scene *scene)
{
    const aq_rows *rows = &scene->sheet->rows;
    if (strcmp(scene->sheet->job, "stock") != 0)
        return false;
    for (size_t i = 0; i < rows->count; i++)
        for (size_t j = 0; j < rows->count; j++)
            if (i != j && aq_row_pours(&rows->at[i]) && aq_row_pours(&rows->at[j]) &&
                same_tank(rows->at[i].tank, rows->at[j].tank) &&
                (class_named(scene, rows->at[i].part) & AQ_CALCIUM) &&
                (class_named(scene, rows->at[j].part) & (AQ_SULFATE | AQ_PHOSPHATE)))
                return true;
    return false;
}

static bool calcium_meets(const aq_scene *scene)
{
    return strcmp(scene->sheet->job, "stock") != 0 && meet(scene, AQ_CALCIUM, AQ_SULFATE | AQ_PHOSPHATE);
}

static bool label_passed(const aq_scene *scene)
{
    const aq_rows *rows = &scene->sheet->rows;
    for (size_t i = 0; i < rows->count; i++)
        if (rows->at[i].label_used > 1 + 1e-9)
            return true;
    return false;
}

static bool label_passed_unasked(const aq_scene *scene)
{
    return !scene->sheet->over_label && label_passed(scene);
}

static bool label_passed_knowingly(const aq_scene *scene)
{
    return scene->sheet->over_label && label_passed(scene);
}

/* A stock stronger than what the job found to stay dissolved at the coldest. */
static bool crystals_at_night(const aq_scene *scene)
{
    const aq_figure *strength = aq_figures_amount_of(&scene->sheet->figures, "strength");
    const aq_figure *allowed = aq_figures_amount_of(&scene->sheet->figures, "allowed");
    return strength && allowed && strength->amount.value > allowed->amount.value * (1 + 1e-9);
}

static const struct {
    const char *name;
    bool (*holds)(const aq_scene *scene);
    const char *text;
    bool refuses;
} rules[] = {
    { "chlorine", chlorine, "Hypochlorite with acid gives chlorine gas: never in one vessel.", true },
    { "chloramine", chloramine, "Hypochlorite with ammonium or urea gives chloramines: never in one vessel.",
      true },
    { "chloroform", chloroform, "Hypochlorite with alcohol gives chloroform: never in one vessel.", true },
    { "oxygen", oxygen,
      "Hypochlorite with peroxide froths and splashes, and both are lost: never in one vessel.", true },
    { "water-onto-acid", water_onto_acid, "Water would be poured onto acid: it can boil and spit.", true },
    { "stock-cloudy", stock_cloudy,
      "Calcium and sulfate or phosphate in one stock tank turn to sludge: two tanks are needed.", true },
    { "label-top", label_passed_unasked,
      "A label top would be passed: say why with over-label, or pour less.", true },
    { "label-top-known", label_passed_knowingly, "A label top is passed this once, for the reason given.",
      false },
    { "acid", acid_handled, "Acid into water, slowly, never water into acid.", false },
    { "peracetic", peracetic, "Peroxide with vinegar gives peracetic acid, which burns.", false },
    { "fire", fire, "Peroxide with alcohol can catch fire.", false },
    { "base-acid", strong_base_with_acid,
      "A base or silicate and an acid heat each other: dilute each in the tank first.", false },
    { "crystals", crystals_at_night, "At the coldest this stock tank drops crystals: make it weaker.",
      false },
};

/* "stir between": no hazard to people, so a caution. */
static bool mind_the_order(const aq_scene *scene)
{
    if (!calcium_meets(scene))
        return true;
    return aq_sheet_caution(scene->sheet,
                            "Calcium and sulfate or phosphate must not meet undiluted: stir the tank "
                            "between these parts, and rinse what they were measured with.");
}

static bool apply_rules(const aq_scene *scene)
{
    bool refused = false;
    for (size_t i = 0; i < COUNT(rules); i++) {
        if (!rules[i].holds(scene))
            continue;
        if (!aq_hazard_rule(scene->sheet, rules[i].name, rules[i].text, rules[i].refuses))
            return false;
        refused = refused || rules[i].refuses;
    }
    if (refused)
        aq_sheet_refuse(scene->sheet);
    return true;
}

/* A first row of water before an acid that would meet none: dilute and stock fill up to a mark after it. */
static bool water_before_acid(const aq_scene *scene)
{
    aq_rows *rows = &scene->sheet->rows;
    size_t first = 0;
    while (first < rows->count && !acid_row(scene, &rows->at[first]))
        if (rows->at[first++].what == AQ_DO_WATER)
            return true;
    if (first == rows->count || tank_holds_water(scene->sheet))
        return true;
    if (!aq_sheet_row(scene->sheet, AQ_DO_WATER))
        return false;
    aq_row water = rows->at[rows->count - 1];
    water.note = "about half of the final volume, before the acid";
    memmove(&rows->at[first + 1], &rows->at[first], (rows->count - 1 - first) * sizeof *rows->at);
    rows->at[first] = water;
    return true;
}

/* A pre-dilution of acid is made like any dilution of it: the cup has its water first. */
static bool water_in_the_cup(const aq_scene *scene)
{
    aq_rows *rows = &scene->sheet->rows;

    for (size_t i = 0; i < rows->count; i++) {
        aq_row *row = &rows->at[i];

        if (row->what != AQ_DO_PREDILUTE || !acid_row(scene, row))
            continue;
        row->note = aq_arena_format(scene->sheet->arena,
                                    "most of the water into the cup first, then the acid into it%s%s",
                                    row->note ? "; " : "", row->note ? row->note : "");
        if (!row->note)
            return false;
    }
    return true;
}

/* A slip in the name of a substance must not pass as one without hazards. */
static bool say_unknown(aq_sheet *sheet, const aq_handled *handled)
{
    if (!handled->substance || (handled->part && handled->part->hazards.count))
        return true;
    return aq_sheet_caution(
        sheet,
        "%s is not in the table of substances, so none of its hazards can be shown: check "
        "its name, and read its safety data sheet",
        handled->substance);
}

static bool handle(aq_sheet *sheet, const aq_handled *handled, unsigned *classes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const aq_substance *substance = aq_handled_substance(&handled[i]);
        classes[i] = aq_handled_classes(&handled[i], substance);
        sheet->classes |= classes[i];
        if (!add_handled(sheet, &handled[i], substance) || (!substance && !say_unknown(sheet, &handled[i])))
            return false;
    }
    return true;
}

void aq_sheet_defer(aq_sheet *sheet)
{
    static const char words[] =
        "Follow the label and the safety data sheet, local codes, and have a licensed applicator or a "
        "qualified "
        "person do it where the law or the label asks for one. What is left is disposed of by local rules.";
    if (sheet->hazards.count || sheet->wear.count)
        sheet->defers = words;
}

aq_status aq_caution_apply(aq_sheet *sheet, const aq_handled *handled, size_t count, aq_error *err)
{
    unsigned *classes = aq_arena_take_array(sheet->arena, count + 1, sizeof *classes);
    if (!classes || !handle(sheet, handled, classes, count))
        return no_memory(err);
    aq_scene scene = { .sheet = sheet, .handled = handled, .classes = classes, .count = count };
    if (!apply_rules(&scene) || !mind_the_order(&scene) || !water_before_acid(&scene) ||
        !water_in_the_cup(&scene) || !wear_for(sheet, sheet->classes))
        return no_memory(err);
    aq_sheet_defer(sheet);
    return AQ_OK;
}

/* The guaranteed analysis of a label: what its numbers are of, and the composition they make.
 *
 * An analysis w/w is per gram (4.0 % w/w is 0.040 g in a gram), w/v per litre (4.0 % w/v is 40 g in a litre), and mg/L
 * per litre. Shares by mass and mg/L, side by side, are joined by the density. A bare % says neither, and a bare P or K
 * neither oxide nor element: 15 % of phosphorus counted as P2O5 is 6.55 % P (0.4364, from the atomic weights of CIAAW
 * 2021), so both are asked about. */
#include "model/analysis.h"

#include <math.h>
#include <string.h>

#include "model/limits.h"
#include "model/matter.h"

static const char *const basis_words[] = { "w/w", "w/v", NULL };    /* aq_basis */
static const char *const as_words[] = { "oxide", "element", NULL }; /* aq_as */

static aq_status ask_basis(aq_walk *walk, const aq_node *content)
{
    aq_error err = { 0 };

    aq_fail(&err, AQ_AMBIGUOUS, content->place,
            "%s: %s is of the mass or of the volume? Write basis: w/w or basis: w/v, as the label says",
            content->key, content->text);
    err.question = (aq_question){ .key = "basis",
                                  .count = 2,
                                  .choice = { { "w/w", "grams in 100 g of product" },
                                              { "w/v", "grams in 100 mL of product" } } };
    return aq_walk_add(walk, &err);
}

static aq_status ask_as(aq_walk *walk, const aq_node *content)
{
    aq_error err = { 0 };
    bool phosphorus = strcmp(content->key, "P") == 0;

    aq_fail(&err, AQ_AMBIGUOUS, content->place,
            "%s: counted as oxide (%s) or as element? Write as: oxide or as: element, or name %s itself",
            content->key, phosphorus ? "P2O5, of which 0.4364 is P" : "K2O, of which 0.8301 is K",
            phosphorus ? "P2O5" : "K2O");
    err.question =
        (aq_question){ .key = "as",
                       .count = 2,
                       .choice = { { "oxide", "P as P2O5 (P = 0.4364 P2O5), K as K2O (K = 0.8301 K2O)" },
                                   { "element", "P and K themselves" } } };
    return aq_walk_add(walk, &err);
}

/* "4.7 %", as against 4.7 %w/w, mg/kg or mg/L, which say their basis themselves. */
static bool bare_percent(aq_quantity amount)
{
    return amount.unit && strcmp(amount.unit->name, "%") == 0;
}

static bool has_forms_of_nitrogen(const aq_amounts *contents)
{
    for (size_t i = 0; i < contents->count; i++)
        if (strstr(contents->at[i].name, "-N"))
            return true;
    return false;
}

/* What a label prints by mass is no more than the whole. "N" beside its forms is their total and does not count. */
static aq_status check_whole(aq_walk *walk, const aq_analysis *analysis)
{
    bool forms = has_forms_of_nitrogen(&analysis->contents);
    double sum = 0;

    for (size_t i = 0; i < analysis->contents.count && analysis->basis == AQ_BASIS_WW; i++) {
        const aq_named_amount *named = &analysis->contents.at[i];

        if (aq_kind_equal(named->amount.kind, AQ_KIND_SHARE) && !(forms && strcmp(named->name, "N") == 0))
            sum += named->amount.value;
    }
    if (sum <= 1 + 1e-9)
        return AQ_OK;
    return aq_walk_fail(walk, AQ_OUT_OF_RANGE, analysis->place,
                        "its shares add up to more than the whole product");
}

static aq_status check_basis(aq_walk *walk, aq_analysis *analysis, const aq_node *node)
{
    for (size_t i = 0; i < analysis->contents.count; i++) {
        const aq_named_amount *named = &analysis->contents.at[i];
        const aq_node *content = aq_node_get(node, named->name);

        if (!aq_kind_equal(named->amount.kind, AQ_KIND_SHARE))
            continue;
        if (named->amount.value > 1)
            return aq_walk_fail(walk, AQ_OUT_OF_RANGE, content->place,
                                "%s: %s is more than the whole product", named->name, content->text);
        if (bare_percent(named->amount) && analysis->basis == AQ_BASIS_UNSAID)
            return ask_basis(walk, content);
        if (!bare_percent(named->amount) && analysis->basis == AQ_BASIS_WV)
            return aq_walk_fail(walk, AQ_CONFLICT, content->place,
                                "%s: %s counts by mass, and the basis is w/v", named->name, content->text);
        analysis->basis = analysis->basis ? analysis->basis : AQ_BASIS_WW;
    }
    return check_whole(walk, analysis);
}

static aq_status check_analysis(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_analysis *analysis = entry;

    analysis->given = true;
    if (analysis->basis == AQ_BASIS_UNSAID)
        analysis->basis = (int)walk->said.basis;
    if (analysis->as == AQ_AS_UNSAID)
        analysis->as = (int)walk->said.as;
    if (analysis->contents.count == 0)
        return aq_walk_fail(walk, AQ_MISSING, node->place, "no element is named, like N: 4.0 %%");
    for (size_t i = 0; i < analysis->contents.count && analysis->as == AQ_AS_UNSAID; i++) {
        const char *name = analysis->contents.at[i].name;

        if (strcmp(name, "P") == 0 || strcmp(name, "K") == 0)
            return ask_as(walk, aq_node_get(node, name));
    }
    return check_basis(walk, analysis, node);
}

static const aq_field analysis_rest = { .key = "element",
                                        .read = AQ_READ_AMOUNTS,
                                        .want = AQ_WANT_SHARE | AQ_WANT_CONTENT,
                                        .bounded = true,
                                        .least = 0,
                                        .most = AQ_CONTENT_MOST,
                                        .choices = aq_analysis_words,
                                        .into = offsetof(aq_analysis, contents),
                                        .help = "an element or oxide and how much the label guarantees",
                                        .example = "4.7 %" };
static const aq_field analysis_fields[] = {
    { .key = "basis",
      .read = AQ_READ_CHOICE,
      .choices = basis_words,
      .into = offsetof(aq_analysis, basis),
      .help = "what a percentage is of: w/w, grams in 100 g; w/v, grams in 100 mL",
      .example = "w/v" },
    { .key = "as",
      .read = AQ_READ_CHOICE,
      .choices = as_words,
      .into = offsetof(aq_analysis, as),
      .help = "how P and K are counted: as P2O5 and K2O, or as elements",
      .example = "oxide" },
};

const aq_shape aq_analysis_shape = {
    .noun = "label's analysis",
    .fields = analysis_fields,
    .count = sizeof analysis_fields / sizeof *analysis_fields,
    .size = sizeof(aq_analysis),
    .has_place = true,
    .place_into = offsetof(aq_analysis, place),
    .rest = &analysis_rest,
    .check = check_analysis,
};

/* The elements of a gram cannot weigh more than it; of a litre, not more than the densest liquid. */
static aq_status check_sum(aq_walk *walk, const aq_part *part)
{
    double sum = 0, most = part->per_litre ? AQ_DENSITY_MOST : 1;

    for (size_t i = 0; i < AQ_NUTRIENT_COUNT; i++)
        sum += part->composition->mass[i];
    if (part->per_litre && part->density.given)
        most = part->density.value;
    if (sum <= most * (1 + 1e-9))
        return AQ_OK;
    return aq_walk_fail(walk, AQ_OUT_OF_RANGE, part->analysis.place,
                        "analysis: the elements add up to more than the whole product");
}

aq_status aq_label_compose(aq_walk *walk, aq_part *part)
{
    double density = part->density.given ? part->density.value : NAN;
    bool shares = part->analysis.basis != AQ_BASIS_UNSAID;

    part->per_litre = part->analysis.basis != AQ_BASIS_WW;
    for (size_t i = 0; i < part->analysis.contents.count; i++)
        if (shares && !part->per_litre && isnan(density) &&
            !aq_kind_equal(part->analysis.contents.at[i].amount.kind, AQ_KIND_SHARE))
            return aq_walk_fail(walk, AQ_MISSING, part->analysis.contents.at[i].place,
                                "analysis: %s: an amount per litre beside shares by mass needs the density",
                                part->analysis.contents.at[i].name);
    part->composition = aq_matter_compose(walk, &part->analysis.contents, part->per_litre ? 1000 : 1,
                                          part->per_litre ? 1 : 1 / density, (aq_as)part->analysis.as);
    return part->composition ? check_sum(walk, part) : aq_complaints_status(walk->complaints);
}

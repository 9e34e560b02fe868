/* Two waters to one EC, alkalinity, hardness or share.
 *
 * Each of these blends linearly, c = p c1 + (1 - p) c2 (Ayers and Westcot, FAO Irrigation and Drainage Paper 29 rev. 1,
 * 1985). What lies outside both waters is answered with the nearer one alone. */
#include "job/jobs.h"
#include "job/ladder.h"
#include "job/rows.h"
#include "job/show.h"
#include "job/source.h"
#include "solve/dilute.h"

#include <math.h>
#include <stddef.h>

static aq_status read_to(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

static const aq_field to_fields[] = {
    { .key = "ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_wanted, ec),
      .help = "EC of the blend",
      .example = "0.4 mS/cm" },
    { .key = "alkalinity",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_wanted, alkalinity),
      .help = "alkalinity of the blend",
      .example = "60 mg/L CaCO3" },
    { .key = "hardness",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_wanted, hardness),
      .help = "hardness of the blend",
      .example = "80 mg/L CaCO3" },
    { .key = "share",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_wanted, share),
      .help = "share of the first water",
      .example = "40 %" },
};
static const aq_shape to_shape = {
    .noun = "to", .fields = to_fields, .count = AQ_ROWS_COUNT(to_fields), .size = sizeof(aq_wanted)
};

static const aq_field blend_rows[] = {
    { .key = "first",
      .read = AQ_READ_ENTRY,
      .shape = &aq_water_shape,
      .into = AQ_INTO(first),
      .help = "one water",
      .example = "{name: tap, ec: 0.72 mS/cm}" },
    { .key = "second",
      .read = AQ_READ_ENTRY,
      .shape = &aq_water_shape,
      .into = AQ_INTO(second),
      .help = "the other water",
      .example = "{name: rain, ec: 0.03 mS/cm}" },
    { .key = "to",
      .read = AQ_READ_CUSTOM,
      .custom = read_to,
      .into = AQ_INTO(to),
      .shape = &to_shape,
      .help = "what the blend should have: an EC, an alkalinity, a hardness, or a share of the first",
      .example = "0.4 mS/cm" },
    AQ_ROW_MAKE,
    AQ_ROWS_OF_EVERY_JOB,
};

/* An EC by itself, or an entry that names the property. */
static aq_status read_to(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_field entry = { .key = field->key, .read = AQ_READ_ENTRY, .shape = &to_shape };
    aq_field ec = to_fields[0];
    aq_wanted *wanted = into;

    ec.key = field->key;
    if (node->shape == AQ_NODE_SCALAR && node->text[0] != '{')
        return aq_field_read(walk, &ec, node, &wanted->ec);
    return aq_field_read(walk, &entry, node, into);
}

/* The property that is wanted: of each water and of the blend. */
typedef struct {
    const char *name, *example;
    double first, second, wanted;
} property;

static property wanted_property(const aq_asked *asked)
{
    const aq_water *a = &asked->first, *b = &asked->second;

    if (asked->to.ec.given)
        return (property){ "ec", "ec: 0.40 mS/cm", aq_water_ec(a), aq_water_ec(b), asked->to.ec.value };
    if (asked->to.alkalinity.given)
        return (property){ "alkalinity", "alkalinity: 120 mg/L CaCO3", aq_water_alkalinity(a),
                           aq_water_alkalinity(b), asked->to.alkalinity.value };
    if (asked->to.hardness.given)
        return (property){ "hardness", "hardness: 150 mg/L CaCO3", aq_water_hardness(a), aq_water_hardness(b),
                           asked->to.hardness.value };
    return (property){ "share", "", 1, 0, asked->to.share.given ? asked->to.share.value : NAN };
}

/* One property at a time: two waters have one unknown, the share. */
static aq_status check_one(const aq_asked *asked, aq_error *err)
{
    const aq_wanted *to = &asked->to;

    if (to->ec.given + to->alkalinity.given + to->hardness.given + to->share.given <= 1)
        return AQ_OK;
    return aq_fail(err, AQ_CONFLICT, (aq_place){ "--to", 0, 0, 0 },
                   "to: two waters can be blended to one property: say ec, alkalinity, hardness or share");
}

static aq_status ask_property(const aq_water *water, const char *key, const property *p, aq_error *err)
{
    if (!water->name)
        return aq_ask_for(err, key, "what is the %s of that water? Like {name: %s, %s}", p->name, key,
                          p->example);
    return aq_ask_for(err, key, "what is the %s of %s? Like {name: %s, %s}", p->name, water->name,
                      water->name, p->example);
}

static aq_status complete(const aq_asked *asked, property *p, aq_error *err)
{
    if (!asked->make.high.given)
        return aq_ask_for(err, "make", "how much is to be made, like 100 L?");
    if (check_one(asked, err) != AQ_OK)
        return AQ_CONFLICT;
    *p = wanted_property(asked);
    if (isnan(p->wanted))
        return aq_ask_for(
            err, "to",
            "what should the blend have: an EC, {alkalinity: ...}, {hardness: ...} or {share: ...}?");
    if (isnan(p->first))
        return ask_property(&asked->first, "first", p, err);
    if (isnan(p->second))
        return ask_property(&asked->second, "second", p, err);
    return AQ_OK;
}

/* The blend of one property, where both waters have it. */
static bool add_blended(aq_sheet *sheet, const char *name, double first, double second, double share,
                        double factor, const char *unit)
{
    double blended = (first * share + second * (1 - share)) * factor;

    return isnan(blended) || aq_sheet_figure(sheet, name, blended, unit);
}

static bool add_figures(aq_sheet *sheet, const aq_asked *asked, double share)
{
    const aq_water *a = &asked->first, *b = &asked->second;
    double mg_per_eq = aq_unit_caco3() * 1000;
    double ec = aq_water_ec(a) * share + aq_water_ec(b) * (1 - share);

    if (isfinite(ec))
        sheet->expect_ec = aq_amount_within(ec, "mS/cm", 0.05);
    if (isfinite(ec) && (!a->ec.given || !b->ec.given) &&
        !aq_sheet_assume(sheet, "a water without an EC is reckoned from its analysis: measure it"))
        return false;
    return aq_sheet_figure(sheet, "share", share, "1") &&
           add_blended(sheet, "ec", aq_water_ec(a), aq_water_ec(b), share, 1, "mS/cm") &&
           add_blended(sheet, "alkalinity", aq_water_alkalinity(a), aq_water_alkalinity(b), share, mg_per_eq,
                       "mg/L CaCO3") &&
           add_blended(sheet, "hardness", aq_water_hardness(a), aq_water_hardness(b), share, mg_per_eq,
                       "mg/L CaCO3");
}

static const char *name_of(const aq_water *water, const char *otherwise)
{
    return water->name ? water->name : otherwise;
}

static bool add_water(aq_sheet *sheet, const char *name, double litres)
{
    aq_row *row;

    if (!(litres > 0))
        return true;
    row = aq_sheet_row(sheet, AQ_DO_WATER);
    if (!row)
        return false;
    row->water = name;
    row->exact = aq_amount_volume(litres, false);
    row->amount = aq_amount_volume(litres, true);
    return true;
}

static bool say_outside(aq_sheet *sheet, const property *p, const aq_blend *blend)
{
    bool charge = p->name[0] == 'a' || p->name[0] == 'h';
    double by = fabs(blend->reached - p->wanted) * (charge ? aq_unit_caco3() * 1000 : 1);

    sheet->outcome = AQ_NEAREST;
    return aq_sheet_short(sheet, p->name, aq_amount_of(by, charge ? "mg/L CaCO3" : "mS/cm"),
                          "what is wanted lies outside both waters: the nearer one alone comes nearest") !=
           NULL;
}

static aq_status blend_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    const char *first = name_of(&asked->first, "first"), *second = name_of(&asked->second, "second");
    property p = wanted_property(asked);
    aq_blend blend;
    aq_sheet *sheet;
    double make = asked->make.high.value;
    aq_status status = complete(asked, &p, err);

    if (status != AQ_OK)
        return status;
    blend = aq_blend_to(p.first, p.second, p.wanted);
    sheet = aq_sheet_new(arena, "blend");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title =
        aq_arena_format(arena, "blend %s and %s, %s", first, second, aq_show_volume(arena, asked, make));
    sheet->volume = aq_amount_of(make, "L");
    if (!sheet->title || !add_water(sheet, first, make * blend.share) ||
        !add_water(sheet, second, make * (1 - blend.share)) || !add_figures(sheet, asked, blend.share) ||
        (!blend.inside && !say_outside(sheet, &p, &blend)) ||
        (sheet->expect_ec.given &&
         !aq_say_ladder(sheet, AQ_STEP_CIRCULATE | AQ_STEP_PROBE | AQ_STEP_STANDARD)))
        return AQ_NO_MEMORY;
    if (!aq_say_no_tools(sheet, asked))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape blend_asks = {
    .noun = "blend", .fields = blend_rows, .count = AQ_ROWS_COUNT(blend_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_blend = {
    .name = "blend",
    .does = "two waters to an EC, alkalinity, hardness or share",
    .asks = &blend_asks,
    .run = blend_run,
    .example = "aliquot blend --first '{name: tap, ec: 0.72 mS/cm}' --second '{name: rain, ec: 0.03 "
               "mS/cm}' --to 0.4mS/cm --make 100L"
};

/* Example (a part with 290 mL left; 95, 95, 120 and 140 mL wanted on Mon, Wed, Fri and Sun): after Wednesday 100 mL
 * are left, so Friday can run at 100 / 120 = 0.833 of its dose, 160 mL are short in all, and the whole week evenly thin
 * would run at 290 / 450 = 0.644. */
#include "sheet/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double dust = 1e-9; /* L or g: less than this is rounding, not a shortage */

typedef struct {
    double left; /* L or g; NaN: nobody said */
    bool weighs;
    double needed;
    const aq_need *fails; /* first job that cannot be made; NULL: all can */
    double share;         /* what is left for it, of its need */
} reckoning;

static int by_time(const void *left, const void *right)
{
    const aq_need *a = left, *b = right;
    int order = aq_moment_compare(a->at, b->at);

    return order ? order : strcmp(a->what, b->what);
}

static aq_status find_left(reckoning *r, const aq_supply *supply, aq_error *err)
{
    if (supply->left.given) {
        r->left = supply->left.value;
        r->weighs = aq_kind_equal(supply->left.kind, AQ_KIND_MASS);
    } else if (supply->weighs.given) {
        r->left = supply->weighs.value - (supply->empty.given ? supply->empty.value : 0);
        r->weighs = !supply->density.given;
        if (r->left < 0)
            return aq_fail(err, AQ_OUT_OF_RANGE, supply->place,
                           "supply %s: it weighs less than its empty bottle", supply->part);
        if (supply->density.given)
            r->left /= supply->density.value;
    } else {
        r->left = NAN;
        r->weighs = supply->pack.given && aq_kind_equal(supply->pack.kind, AQ_KIND_MASS);
    }
    return AQ_OK;
}

/* An amount by weight or volume as this supply is counted; NaN: that needs its density. */
static double counted(const reckoning *r, const aq_supply *supply, double amount, bool weighs)
{
    double density = supply->density.given ? supply->density.value : NAN; /* g/L */

    if (weighs == r->weighs)
        return amount;
    return weighs ? amount / density : amount * density;
}

static aq_status ask_density(const reckoning *r, const aq_supply *supply, aq_error *err)
{
    return aq_fail(err, AQ_MISSING, supply->place,
                   "supply %s is counted by %s and used by %s: its density is needed, like 1.26 kg/L",
                   supply->part, r->weighs ? "weight" : "volume", r->weighs ? "volume" : "weight");
}

static aq_status follow(reckoning *r, const aq_supply *supply, const aq_need_list *needs, aq_error *err)
{
    double left = r->left;

    for (size_t i = 0; i < needs->count; i++) {
        const aq_need *need = &needs->at[i];
        double amount;

        if (need->water || strcmp(need->what, supply->part) != 0)
            continue;
        if (isnan(r->left) && !supply->pack.given && !(r->needed > 0))
            r->weighs = need->weighs; /* nobody counted it: as it is used */
        amount = counted(r, supply, need->amount, need->weighs);
        if (isnan(amount))
            return ask_density(r, supply, err);
        r->needed += amount;
        if (!r->fails && amount > left + dust) {
            r->fails = need;
            r->share = fmax(left, 0) / amount;
        }
        left -= amount;
    }
    return AQ_OK;
}

static double pack_size(const reckoning *r, const aq_supply *supply)
{
    return counted(r, supply, supply->pack.value, aq_kind_equal(supply->pack.kind, AQ_KIND_MASS));
}

static aq_amount said(const reckoning *r, double amount)
{
    return r->weighs ? aq_amount_of(amount, "g") : aq_amount_of(amount * 1000, "mL");
}

static bool add(aq_sheet *sheet, aq_record *record, const char *name, aq_amount amount)
{
    return aq_figures_add(sheet->arena, &record->figures, name, amount.value, amount.unit);
}

static bool add_text(aq_sheet *sheet, aq_record *record, const char *name, const char *text)
{
    aq_figure *figure = aq_list_add(sheet->arena, &record->figures, sizeof *figure);

    if (!figure || !text)
        return false;
    *figure = (aq_figure){ .name = name, .text = text };
    return true;
}

/* What a feed made with only that share of its dose reads. */
static bool add_thin(aq_sheet *sheet, aq_record *record, const char *share_name, const char *ec_name,
                     double share, const aq_shelf_manner *manner)
{
    double ec = manner->water_ec + (manner->ec - manner->water_ec) * share;

    return add(sheet, record, share_name, aq_amount_of(share, "1")) &&
           (isnan(ec) || add(sheet, record, ec_name, aq_amount_of(ec, "mS/cm")));
}

/* What is ordered today comes after the job that needs it. */
static bool add_late(aq_sheet *sheet, const aq_supply *supply, aq_date by, const aq_shelf_manner *manner)
{
    return aq_date_compare(by, manner->from) >= 0 ||
           aq_sheet_caution(
               sheet, "%s had to be ordered before these days begin: it comes too late by the usual way",
               supply->part);
}

static bool add_shortage(aq_sheet *sheet, aq_record *record, const reckoning *r, const aq_supply *supply,
                         const aq_shelf_manner *manner)
{
    long lead = supply->lead.given ? (long)ceil(supply->lead.value - 1e-9) : 1;
    aq_date by = aq_date_add(r->fails->at.date, lead > 1 ? -lead : -1);
    double missing = r->needed - r->left;
    aq_amount amount = said(r, missing);
    char text[AQ_DATE_ROOM], day[AQ_DATE_ROOM], order[AQ_DATE_ROOM];

    aq_date_write(r->fails->at.date, text);
    if (!add(sheet, record, "short", amount) ||
        !add_text(sheet, record, "runs_out", aq_arena_format(sheet->arena, "%s", text)))
        return false;
    aq_date_write(by, text);
    if (!add_text(sheet, record, "order_by", aq_arena_format(sheet->arena, "%s", text)) ||
        !add_thin(sheet, record, "share", "share_ec", r->share, manner) ||
        !add_thin(sheet, record, "even_share", "even_ec", r->left / r->needed, manner))
        return false;
    if (supply->pack.given &&
        !add(sheet, record, "packs", aq_amount_of(ceil(missing / pack_size(r, supply) - dust), "1")))
        return false;
    aq_date_say(r->fails->at.date, day);
    aq_date_say(by, order);
    sheet->outcome = AQ_NEAREST;
    return add_late(sheet, supply, by, manner) &&
           aq_sheet_short(sheet, supply->part, amount, "%s runs out on %s", supply->part, day) &&
           aq_sheet_next(
               sheet,
               "buy %s or more of %s by %s; if not, cut the parts that go with it by the same share, "
               "and never reach the EC with the others alone",
               aq_say(sheet->arena, amount.value, amount.unit), supply->part, order);
}

static aq_status add_cost(aq_sheet *sheet, aq_record *record, const reckoning *r, const aq_supply *supply,
                          const aq_shelf_manner *manner, double *total, aq_error *err)
{
    double cost;

    if (!supply->pack.given && supply->price.given)
        return aq_fail(err, AQ_MISSING, supply->place,
                       "supply %s: how much is in the pack of that price? Write pack: 5 L", supply->part);
    if (!supply->pack.given)
        return AQ_OK;
    if (!supply->price.given)
        return aq_fail(err, AQ_MISSING, supply->place,
                       "supply %s: what is the price of its pack? Write price: 42.00", supply->part);
    cost = r->needed * supply->price.value / pack_size(r, supply);
    if (isnan(cost))
        return ask_density(r, supply, err);
    *total += cost;
    return add(sheet, record, "cost", aq_amount_of(cost, manner->currency ? manner->currency : "1"))
               ? AQ_OK
               : AQ_NO_MEMORY;
}

static aq_status add_mixes(aq_sheet *sheet, aq_record *record, const reckoning *r, const aq_supply *supply,
                           const aq_shelf_manner *manner, aq_error *err)
{
    double each = counted(r, supply, manner->each, manner->each_weighs);

    if (isnan(manner->each) || isnan(r->left))
        return AQ_OK;
    if (isnan(each))
        return ask_density(r, supply, err);
    return add(sheet, record, "mixes", aq_amount_of(r->left / each, "1")) ? AQ_OK : AQ_NO_MEMORY;
}

static bool warn_of_age(aq_sheet *sheet, const aq_supply *supply, const aq_shelf_manner *manner)
{
    aq_date ends;
    char text[AQ_DATE_ROOM];

    if (!supply->opened.year || !supply->keeps.given)
        return true;
    ends = aq_date_add(supply->opened, (long)supply->keeps.value);
    if (aq_date_compare(ends, aq_date_add(manner->from, manner->days)) >= 0)
        return true;
    aq_date_say(ends, text);
    return aq_sheet_caution(sheet, "%s keeps until %s after opening: replace it then", supply->part, text);
}

/* What nobody counted cannot run out here. */
static bool add_left(aq_sheet *sheet, aq_record *record, const reckoning *r, const aq_supply *supply)
{
    if (isnan(r->left))
        return aq_sheet_assume(sheet, "how much of %s is left is not said: taken to be enough", supply->part);
    return add(sheet, record, "left", said(r, r->left));
}

static aq_status reckon(aq_sheet *sheet, const aq_supply *supply, const aq_need_list *needs,
                        const aq_shelf_manner *manner, double *total, aq_error *err)
{
    reckoning r = { .share = 1 };
    aq_record *record;
    aq_status status = find_left(&r, supply, err);

    if (status == AQ_OK)
        status = follow(&r, supply, needs, err);
    if (status != AQ_OK)
        return status;
    record = aq_records_add(sheet->arena, &sheet->supplies, "part", supply->part);
    if (!record || !add_left(sheet, record, &r, supply) ||
        !add(sheet, record, "needed", said(&r, r.needed)) || !warn_of_age(sheet, supply, manner))
        return AQ_NO_MEMORY;
    if (r.fails && !add_shortage(sheet, record, &r, supply, manner))
        return AQ_NO_MEMORY;
    if (r.needed > 0 && !isnan(r.left) &&
        !add(sheet, record, "lasts", aq_amount_of(r.left / (r.needed / (double)manner->days), "d")))
        return AQ_NO_MEMORY;
    status = add_mixes(sheet, record, &r, supply, manner, err);
    return status != AQ_OK ? status : add_cost(sheet, record, &r, supply, manner, total, err);
}

static bool has_price(const aq_supplies *supplies, const char *what)
{
    for (size_t i = 0; i < supplies->count; i++)
        if (strcmp(supplies->at[i].part, what) == 0 && supplies->at[i].pack.given &&
            supplies->at[i].price.given)
            return true;
    return false;
}

bool aq_shelf_unpriced(aq_sheet *sheet, const char *what)
{
    return aq_sheet_assume(sheet, "the cost leaves out %s: no price is given", what);
}

static bool say_unpriced(aq_sheet *sheet, const aq_supplies *supplies, const aq_need_list *needs)
{
    for (size_t i = 0; i < needs->count; i++)
        if (!needs->at[i].water && !has_price(supplies, needs->at[i].what) &&
            !aq_shelf_unpriced(sheet, needs->at[i].what))
            return false;
    return true;
}

static bool add_totals(aq_sheet *sheet, const aq_supplies *supplies, const aq_need_list *needs,
                       const aq_shelf_manner *manner, double total)
{
    const char *currency = manner->currency ? manner->currency : "1";
    double litres = 0;
    bool priced = false;

    for (size_t i = 0; i < supplies->count; i++)
        priced = priced || (supplies->at[i].pack.given && supplies->at[i].price.given);
    for (size_t i = 0; i < needs->count; i++)
        litres += needs->at[i].water ? needs->at[i].amount : 0;
    if (!priced)
        return true;
    return aq_sheet_figure(sheet, "cost", total, currency) && say_unpriced(sheet, supplies, needs) &&
           (!(litres > 0) || aq_sheet_figure(sheet, "cost_per_litre", total / litres, currency));
}

aq_status aq_shelf_reckon(aq_sheet *sheet, const aq_supplies *supplies, aq_need_list *needs,
                          const aq_shelf_manner *manner, aq_error *err)
{
    double total = 0;
    aq_status status = AQ_OK;

    if (needs->count)
        qsort(needs->at, needs->count, sizeof *needs->at, by_time);
    for (size_t i = 0; status == AQ_OK && i < supplies->count; i++)
        status = reckon(sheet, &supplies->at[i], needs, manner, &total, err);
    if (status == AQ_OK && !add_totals(sheet, supplies, needs, manner, total))
        status = AQ_NO_MEMORY;
    return status;
}

/* Bytes as a site: names that lead somewhere, fills below the brim, a bench with a tool; or complaints. */
#include "fuzz.h"

static void check_reservoir(const aq_site *site, const aq_reservoir *tank)
{
    must(aq_site_reservoir(site, tank->name) == tank);
    must(tank->holds.given && tank->holds.value > 0);
    must(!tank->fill.given || tank->fill.value <= tank->holds.value * (1 + 1e-9));
    must(!tank->water || aq_site_water(site, tank->water));
    must(!tank->lot || aq_site_lot(site, tank->lot));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    static aq_complaints complaints;
    aq_arena *arena = aq_arena_new(0);
    aq_site *site;
    aq_status status;

    complaints.count = complaints.more = 0;
    must(arena != NULL);
    status = aq_site_read(&site, arena, (const char *)bytes, length, "site.yaml", &complaints);
    must((status == AQ_OK) == (site != NULL));
    if (status != AQ_OK)
        check_complaints(&complaints, status);
    for (size_t i = 0; site && i < site->reservoirs.count; i++)
        check_reservoir(site, &site->reservoirs.at[i]);
    for (size_t i = 0; site && i < site->week.count; i++)
        must(!site->week.at[i].reservoir || aq_site_reservoir(site, site->week.at[i].reservoir));
    if (site)
        aq_site_check_recipes(site, &complaints);
    aq_arena_free(arena);
    return 0;
}

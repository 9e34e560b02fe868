/* FNV-1a, 64 bits, twice with different starts, over site, vessel or lot and date, and over how many jobs of that vessel
 * came before it that day. The prime and the first start are Fowler, Noll and Vo's; the second is the golden ratio's
 * fraction. */
#include "render/uid.h"

#include <stdint.h>

static uint64_t mixed(uint64_t hash, const char *text)
{
    for (const unsigned char *c = (const unsigned char *)(text ? text : "");; c++) {
        hash = (hash ^ *c) * UINT64_C(1099511628211);
        if (!*c)
            return hash;
    }
}

void aq_uid_add(aq_buffer *out, const char *site, const char *kind, const char *of, aq_date date, int nth)
{
    char day[AQ_DATE_ROOM];
    uint64_t hash[2] = { UINT64_C(14695981039346656037), UINT64_C(0x9e3779b97f4a7c15) };
    aq_date_write(date, day);
    for (int i = 0; i < 2; i++) {
        hash[i] = mixed(mixed(mixed(mixed(hash[i], site), kind), of), day);
        hash[i] = (hash[i] ^ (uint64_t)nth) * UINT64_C(1099511628211);
        for (int shift = 60; shift >= 0; shift -= 4)
            aq_buffer_char(out, "0123456789abcdef"[hash[i] >> shift & 15]);
    }
    aq_buffer_text(out, "@aliquot");
}

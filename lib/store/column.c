/* Which member of an entry stands in which column. A new column is a new step in schema.c and a new row here. */
#include "store/log_inner.h"

#define INTO(member) offsetof(aq_entry, member)
#define TEXT(name, member, since, recalled)                                                                  \
    {                                                                                                        \
        name, AQ_COLUMN_TEXT, INTO(member), NULL, since, recalled                                            \
    }
#define NUMBER(name, member, kind, recalled)                                                                 \
    {                                                                                                        \
        name, AQ_COLUMN_NUMBER, INTO(member), &(kind), 1, recalled                                           \
    }

/* The first is the uid: add.c makes one where there is none. */
const aq_column aq_columns[] = {
    TEXT("uid", uid, 1, false),
    { "kind", AQ_COLUMN_KIND, INTO(kind), NULL, 1, true },
    TEXT("undoes", undoes, 1, false),
    { "at", AQ_COLUMN_MOMENT, INTO(at), NULL, 1, true },
    TEXT("who", who, 1, false),
    TEXT("note", note, 1, false),
    TEXT("reservoir", reservoir, 1, true),
    TEXT("water", water, 1, false),
    TEXT("job", job, 1, false),
    TEXT("title", title, 1, false),
    TEXT("over_label", over_label, 1, false),
    NUMBER("volume", volume, AQ_KIND_VOLUME, true),
    NUMBER("heel", heel, AQ_KIND_VOLUME, true),
    NUMBER("heel_ec", heel_ec, AQ_KIND_EC, true),
    NUMBER("water_ec", water_ec, AQ_KIND_EC, true),
    NUMBER("ec_before", ec_before, AQ_KIND_EC, true),
    NUMBER("ec_after", ec_after, AQ_KIND_EC, true),
    NUMBER("shown_before", shown_before, AQ_KIND_EC, false),
    NUMBER("shown_after", shown_after, AQ_KIND_EC, false),
    NUMBER("expected", expected, AQ_KIND_EC, false),
    NUMBER("within", within, AQ_KIND_EC, false),
    NUMBER("ph", ph, AQ_KIND_SHARE, false),
    NUMBER("temperature", temperature, AQ_KIND_TEMPERATURE, false),
    TEXT("gate", gate, 1, true),
    { "passed", AQ_COLUMN_YES_NO, INTO(passed), NULL, 1, true },
    TEXT("lot", lot, 2, true),
    TEXT("stage", stage, 2, true),
};
const size_t aq_column_count = sizeof aq_columns / sizeof *aq_columns;

const aq_role aq_roles[AQ_ROLES] = {
    { "planned", INTO(planned) },
    { "poured", INTO(poured) },
    { "left", INTO(left) },
};

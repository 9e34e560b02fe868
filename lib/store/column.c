/* Which member of an entry stands in which column. A new column is a new step in schema.c and a new row here. */
#include "store/log_inner.h"

#define INTO(member) offsetof(aq_entry, member)
#define TEXT(name, member, since)                                                                            \
    {                                                                                                        \
        name, AQ_COLUMN_TEXT, INTO(member), NULL, since                                                      \
    }
#define NUMBER(name, member, kind)                                                                           \
    {                                                                                                        \
        name, AQ_COLUMN_NUMBER, INTO(member), &(kind), 1                                                     \
    }

/* The first is the uid: log.c makes one where there is none. */
const aq_column aq_columns[] = {
    TEXT("uid", uid, 1),
    { "kind", AQ_COLUMN_KIND, INTO(kind), NULL, 1 },
    TEXT("undoes", undoes, 1),
    { "at", AQ_COLUMN_MOMENT, INTO(at), NULL, 1 },
    TEXT("who", who, 1),
    TEXT("note", note, 1),
    TEXT("reservoir", reservoir, 1),
    TEXT("water", water, 1),
    TEXT("job", job, 1),
    TEXT("title", title, 1),
    TEXT("over_label", over_label, 1),
    NUMBER("volume", volume, AQ_KIND_VOLUME),
    NUMBER("heel", heel, AQ_KIND_VOLUME),
    NUMBER("heel_ec", heel_ec, AQ_KIND_EC),
    NUMBER("water_ec", water_ec, AQ_KIND_EC),
    NUMBER("ec_before", ec_before, AQ_KIND_EC),
    NUMBER("ec_after", ec_after, AQ_KIND_EC),
    NUMBER("shown_before", shown_before, AQ_KIND_EC),
    NUMBER("shown_after", shown_after, AQ_KIND_EC),
    NUMBER("expected", expected, AQ_KIND_EC),
    NUMBER("within", within, AQ_KIND_EC),
    NUMBER("ph", ph, AQ_KIND_SHARE),
    NUMBER("temperature", temperature, AQ_KIND_TEMPERATURE),
    TEXT("gate", gate, 1),
    { "passed", AQ_COLUMN_YES_NO, INTO(passed), NULL, 1 },
    TEXT("lot", lot, 2),
    TEXT("stage", stage, 2),
};
const size_t aq_column_count = sizeof aq_columns / sizeof *aq_columns;

const aq_role aq_roles[AQ_ROLES] = {
    { "planned", INTO(planned) },
    { "poured", INTO(poured) },
    { "left", INTO(left) },
};

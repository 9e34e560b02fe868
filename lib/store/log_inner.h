/* What the files of the log share. Private to this room: the only one that knows SQLite. */
#ifndef AQ_STORE_LOG_INNER_H
#define AQ_STORE_LOG_INNER_H

#include <sqlite3.h>

#include "store/log.h"

struct aq_log {
    sqlite3 *db;
    char *path;
    aq_log_use use;
    int version;   /* user_version of the file; 0: it holds nothing yet */
    int why;       /* SQLite's code of the last failure; a rollback after it leaves another */
    bool many;     /* between begin and keep */
    aq_arena *row; /* of the entry that is being read */
    sqlite3_stmt *add_entry, *add_amount, *find_uid, *find_undo, *amounts_of;
};

/* How a member of aq_entry stands in its column. */
typedef enum {
    AQ_COLUMN_TEXT,
    AQ_COLUMN_KIND,
    AQ_COLUMN_YES_NO,
    AQ_COLUMN_MOMENT,
    AQ_COLUMN_NUMBER
} aq_column_type;
typedef struct {
    const char *name;
    aq_column_type type;
    size_t into;
    const aq_kind *kind; /* of a number */
    int since;           /* version of the file that has it first */
    bool recalled;       /* jobs use it: it is in a brief reading */
} aq_column;
extern const aq_column aq_columns[];
extern const size_t aq_column_count;

typedef struct {
    const char *role;
    size_t into; /* aq_amounts */
} aq_role;
enum { AQ_ROLES = 3 };
extern const aq_role aq_roles[AQ_ROLES];

/* `says`, behind the name of the log. */
aq_status aq_log_fail(const aq_log *log, aq_status status, const char *says, aq_error *err);

/* What SQLite's last failure means for a grower. */
aq_status aq_log_failed(aq_log *log, aq_error *err);

/* Memory gave way: our own, or what SQLite's last call needed. */
aq_status aq_log_no_memory(const aq_log *log, aq_error *err);
bool aq_log_lacks_memory(const aq_log *log);

aq_status aq_log_run(aq_log *log, const char *sql, aq_error *err);
aq_status aq_log_prepare(aq_log *log, sqlite3_stmt **out, const char *sql, aq_error *err);

#endif

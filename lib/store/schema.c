/* SQL texts, stepped by user_version.
 *
 * Rows are added and never changed: triggers refuse what would rewrite history, so that not even another program can do
 * it by accident. Numbers are in base units (L, g, mS/cm at 25 degC, degC), moments are ISO 8601 local time. */
#include "store/schema.h"

/* Version 1: entries, and the amounts of each. */
static const char first[] =
    "CREATE TABLE entry ("
    "  id INTEGER PRIMARY KEY,"
    "  uid TEXT NOT NULL UNIQUE DEFAULT (lower(hex(randomblob(8)))) CHECK (length(uid) = 16),"
    "  kind TEXT NOT NULL,"
    "  undoes TEXT UNIQUE REFERENCES entry (uid),"
    "  at TEXT NOT NULL,"
    "  who TEXT, note TEXT,"
    "  reservoir TEXT, water TEXT, job TEXT, title TEXT, over_label TEXT,"
    "  volume REAL, heel REAL, heel_ec REAL, water_ec REAL,"
    "  ec_before REAL, ec_after REAL, shown_before REAL, shown_after REAL,"
    "  expected REAL, within REAL, ph REAL, temperature REAL,"
    "  gate TEXT, passed TEXT CHECK (passed IN ('yes', 'no')),"
    "  CHECK ((kind = 'undo') = (undoes IS NOT NULL)));"
    "CREATE TABLE amount ("
    "  entry INTEGER NOT NULL REFERENCES entry (id),"
    "  role TEXT NOT NULL CHECK (role IN ('planned', 'poured', 'left')),"
    "  place INTEGER NOT NULL," /* pouring order */
    "  part TEXT NOT NULL,"
    "  amount REAL NOT NULL,"
    "  unit TEXT NOT NULL CHECK (unit IN ('L', 'g')),"
    "  PRIMARY KEY (entry, role, place)) WITHOUT ROWID;"
    "CREATE TRIGGER entry_stays BEFORE UPDATE ON entry"
    "  BEGIN SELECT RAISE(ABORT, 'entries of the log are never changed'); END;"
    "CREATE TRIGGER entry_remains BEFORE DELETE ON entry"
    "  BEGIN SELECT RAISE(ABORT, 'entries of the log are never removed'); END;"
    "CREATE TRIGGER amount_stays BEFORE UPDATE ON amount"
    "  BEGIN SELECT RAISE(ABORT, 'entries of the log are never changed'); END;"
    "CREATE TRIGGER amount_remains BEFORE DELETE ON amount"
    "  BEGIN SELECT RAISE(ABORT, 'entries of the log are never removed'); END;"
    "CREATE TRIGGER undo_once BEFORE INSERT ON entry"
    "  WHEN EXISTS (SELECT 1 FROM entry WHERE uid = NEW.undoes AND kind = 'undo')"
    "  BEGIN SELECT RAISE(ABORT, 'an undo cannot be taken back; enter it anew'); END;";

/* Version 2: what the tank feeds, and the order in which a tank's history is asked for. */
static const char second[] = "ALTER TABLE entry ADD COLUMN lot TEXT;"
                             "ALTER TABLE entry ADD COLUMN stage TEXT;"
                             "CREATE INDEX entry_of_tank ON entry (reservoir, at);"
                             "CREATE INDEX entry_of_kind ON entry (kind, at);";

/* Version 3: the newest entries of a long log are what jobs ask for. */
static const char third[] = "CREATE INDEX entry_in_time ON entry (at);";

const char *const aq_schema_steps[] = { first, second, third };
const int aq_schema_version = sizeof aq_schema_steps / sizeof *aq_schema_steps;

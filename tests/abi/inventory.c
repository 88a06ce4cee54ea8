/* Draws what a plan needs from a stock that is kept in an SQLite file, all of it or nothing, and no plan twice.
 *
 *   inventory STOCK.db                                    lists the stock, and what was drawn from it
 *   inventory STOCK.db add MATERIAL LOT GRAMS [EXPIRES]   puts a lot on the shelf
 *   inventory STOCK.db draw CASTING.toml KEY [DAY]        plans the casting and draws what it needs, once for each key
 *
 * DAY is that of the shelf, written 2026-11-29: today, if not said.
 *
 * The library says what the plan needs (question plan.make) and from which lots it comes (stock.draw: first expired,
 * first out); the file holds what is there. What the library answers is JSON, and SQLite's own JSON functions read it.
 * Everything is drawn in one transaction, its key with it: if something is short, nothing is drawn and the program says
 * what is missing; what was drawn under a key is not drawn again. Exit status: 0 done, 1 refused or failed, 3 short.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gelwright.h>
#include <sqlite3.h>

enum { DONE = 0, FAILED = 1, SHORT = 3 };

static const char *const TABLES =
    "CREATE TABLE IF NOT EXISTS stock ("
    "  material TEXT NOT NULL, lot TEXT NOT NULL, grams REAL NOT NULL CHECK (grams >= 0), expires TEXT,"
    "  PRIMARY KEY (material, lot)) STRICT;"
    "CREATE TABLE IF NOT EXISTS draws (key TEXT PRIMARY KEY, casting TEXT NOT NULL) STRICT;"
    "CREATE TABLE IF NOT EXISTS drawn ("
    "  key TEXT NOT NULL REFERENCES draws, material TEXT NOT NULL, lot TEXT NOT NULL, grams REAL NOT NULL) STRICT;";

/* What the library is asked. */
static const char *const READ = "SELECT json_object('text', ?1)";
/* Nulls are left out by the patch: a lot without a last day has none. A mass is written in g. */
static const char *const SHELF =
    "SELECT json_object("
    "  'shelf', json_object('on', coalesce(?2, date('now', 'localtime')), 'lots', json((SELECT json_group_array(json_patch('{}', json_object("
    "     'name', lot, 'material', material, 'left', format('%.17g g', grams), 'expires', expires))) FROM stock))),"
    "  'wanted', json((SELECT json_group_array(json_object("
    "     'material', value ->> 'material',"
    "     'batches', json_array(json_object('batch', 'all', 'amount', value ->> 'mass'))))"
    "     FROM json_each(?1, '$.needs'))))";

/* What becomes of its answers. */
static const char *const KEEP_KEY = "INSERT OR IGNORE INTO draws (key, casting) SELECT ?2, ?1 ->> '$.casting'";
static const char *const NOT_IN_GRAMS =
    "SELECT value ->> 'amount' FROM json_each(?1, '$.taken') WHERE value ->> 'amount' NOT LIKE '% g'";
static const char *const NOTE =
    "INSERT INTO drawn (key, material, lot, grams)"
    "  SELECT ?2, value ->> 'material', value ->> 'lot', CAST(value ->> 'amount' AS REAL)"
    "  FROM json_each(?1, '$.taken')";
static const char *const TAKE =
    "UPDATE stock SET grams = max(0, stock.grams - taken.grams) FROM"
    "  (SELECT material, lot, sum(grams) AS grams FROM drawn WHERE key = ?2 GROUP BY 1, 2) AS taken"
    "  WHERE stock.material = taken.material AND stock.lot = taken.lot AND ?1 IS NOT NULL";
static const char *const TELL_NEEDS =
    "SELECT format('       %-24s needs %9.1f g', value ->> 'material', CAST(value ->> 'mass' AS REAL))"
    "  FROM json_each(?1, '$.needs') WHERE ?2 IS NOT NULL";
static const char *const TELL_MISSING =
    "SELECT format('short: %-24s %9.1f g are missing', value ->> 'material', CAST(value ->> 'amount' AS REAL))"
    "  FROM json_each(?1, '$.missing') WHERE ?2 IS NOT NULL";
static const char *const TELL_WORDS =
    "SELECT format('       lot %s of %s: %s', value ->> 'lot', value ->> 'material', value ->> 'word')"
    "  FROM json_each(?1, '$.words') WHERE ?2 IS NOT NULL";

static int complain(sqlite3 *db) {
    fprintf(stderr, "stock: %s\n", sqlite3_errmsg(db));
    return FAILED;
}

/* A statement with up to two texts bound; ends the program where it cannot be prepared. */
static sqlite3_stmt *prepare(sqlite3 *db, const char *sql, const char *one, const char *two) {
    sqlite3_stmt *statement = NULL;
    if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) != SQLITE_OK) {
        exit(complain(db));
    }
    sqlite3_bind_text(statement, 1, one, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(statement, 2, two, -1, SQLITE_TRANSIENT);
    return statement;
}

static int change(sqlite3 *db, const char *sql, const char *one, const char *two) {
    sqlite3_stmt *statement = prepare(db, sql, one, two);
    const int outcome = sqlite3_step(statement);
    sqlite3_finalize(statement);
    return outcome == SQLITE_DONE ? DONE : complain(db);
}

/* Prints the first column of each row; how many there were, or -1. */
static int tell(sqlite3 *db, const char *sql, const char *one, const char *two) {
    sqlite3_stmt *rows = prepare(db, sql, one, two);
    int count = 0, outcome;
    while ((outcome = sqlite3_step(rows)) == SQLITE_ROW) {
        printf("%s\n", (const char *)sqlite3_column_text(rows, 0));
        count++;
    }
    sqlite3_finalize(rows);
    return outcome == SQLITE_DONE ? count : -1;
}

/* Asks the library what a statement makes of two texts: the text of its answer, or NULL after saying why not. */
static char *ask(sqlite3 *db, const char *question, const char *sql, const char *one, const char *two) {
    sqlite3_stmt *statement = prepare(db, sql, one, two);
    gw_error *error = NULL;
    char *answer = NULL;
    if (sqlite3_step(statement) != SQLITE_ROW) {
        complain(db);
    } else if (gw_ask(question, (const char *)sqlite3_column_text(statement, 0), &answer, &error) != GW_OK) {
        fprintf(stderr, "%s\n", gw_error_message(error));
        gw_error_free(error);
    }
    sqlite3_finalize(statement);
    return answer;
}

/* Within a transaction: draws what a plan needs under a key, or says why not. */
static int draw_once(sqlite3 *db, const char *plan, const char *key, const char *day) {
    if (change(db, KEEP_KEY, plan, key) != DONE) {
        return FAILED;
    }
    if (sqlite3_changes(db) == 0) {
        printf("already drawn under '%s'\n", key);
        return DONE;
    }
    int outcome = FAILED;
    char *drawn = ask(db, "stock.draw", SHELF, plan, day);
    if (drawn != NULL && tell(db, TELL_NEEDS, plan, key) >= 0 && tell(db, TELL_WORDS, drawn, key) >= 0 &&
        tell(db, NOT_IN_GRAMS, drawn, key) == 0) {
        const int missing = tell(db, TELL_MISSING, drawn, key);
        if (missing > 0) {
            outcome = SHORT;
        } else if (missing == 0 && change(db, NOTE, drawn, key) == DONE) {
            outcome = change(db, TAKE, drawn, key);
        }
    }
    gw_string_free(drawn);
    return outcome;
}

static int draw_all(sqlite3 *db, const char *plan, const char *key, const char *day) {
    if (sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL) != SQLITE_OK) {
        return complain(db);
    }
    const int outcome = draw_once(db, plan, key, day);
    if (sqlite3_exec(db, outcome == DONE ? "COMMIT" : "ROLLBACK", NULL, NULL, NULL) != SQLITE_OK) {
        return complain(db);
    }
    printf(outcome == DONE ? "drawn under '%s'\n" : "nothing drawn under '%s'\n", key);
    return outcome;
}

/* The whole of a file, or NULL after saying so. */
static char *contents(const char *path) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    if (file != NULL && fseek(file, 0, SEEK_END) == 0) {
        const long size = ftell(file);
        text = size < 0 ? NULL : (char *)calloc((size_t)size + 1, 1);
        rewind(file);
        if (text != NULL && fread(text, 1, (size_t)size, file) != (size_t)size) {
            free(text);
            text = NULL;
        }
    }
    if (file != NULL) {
        fclose(file);
    }
    if (text == NULL) {
        fprintf(stderr, "%s can not be read\n", path);
    }
    return text;
}

static int draw(sqlite3 *db, const char *path, const char *key, const char *day) {
    int outcome = FAILED;
    char *toml = contents(path);
    /* the casting that was read is the request for its plan */
    char *casting = toml == NULL ? NULL : ask(db, "plan.read_casting", READ, toml, NULL);
    char *plan = casting == NULL ? NULL : ask(db, "plan.make", "SELECT ?1 WHERE ?2 IS NULL", casting, NULL);
    if (plan != NULL) {
        outcome = draw_all(db, plan, key, day);
    }
    gw_string_free(plan);
    gw_string_free(casting);
    free(toml);
    return outcome;
}

static int list(sqlite3 *db) {
    const int stock = tell(db,
                           "SELECT format('%-24s %-12s %9.1f g', material, lot, grams) FROM stock"
                           " WHERE ?1 IS ?2 ORDER BY material, lot",
                           NULL, NULL);
    const int drawn = tell(db,
                           "SELECT format('drawn for ''%s'': %-24s %9.1f g', casting, material, sum(grams))"
                           " FROM drawn JOIN draws USING (key) WHERE ?1 IS ?2 GROUP BY casting, material ORDER BY 1",
                           NULL, NULL);
    return stock < 0 || drawn < 0 ? complain(db) : DONE;
}

static int add(sqlite3 *db, const char *material, const char *lot, double grams, const char *expires) {
    sqlite3_stmt *statement =
        prepare(db, "INSERT INTO stock (material, lot, grams, expires) VALUES (?1, ?2, ?3, ?4)", material, lot);
    sqlite3_bind_double(statement, 3, grams);
    sqlite3_bind_text(statement, 4, expires, -1, SQLITE_TRANSIENT);
    const int outcome = sqlite3_step(statement);
    sqlite3_finalize(statement);
    return outcome == SQLITE_DONE ? DONE : complain(db);
}

int main(int count, char **words) {
    sqlite3 *db = NULL;
    int outcome = FAILED;
    if (count < 2 || sqlite3_open(words[1], &db) != SQLITE_OK || sqlite3_busy_timeout(db, 5000) != SQLITE_OK ||
        sqlite3_exec(db, TABLES, NULL, NULL, NULL) != SQLITE_OK) {
        fprintf(stderr, "usage: inventory STOCK.db [add MATERIAL LOT GRAMS [EXPIRES] | draw CASTING.toml KEY [DAY]]\n"
                        "       DAY, that of the shelf, is written 2026-11-29; today, if not said\n");
        outcome = db == NULL ? FAILED : complain(db);
    } else if (count == 2) {
        outcome = list(db);
    } else if ((count == 6 || count == 7) && strcmp(words[2], "add") == 0) {
        outcome = add(db, words[3], words[4], strtod(words[5], NULL), count == 7 ? words[6] : NULL);
    } else if ((count == 5 || count == 6) && strcmp(words[2], "draw") == 0) {
        outcome = draw(db, words[3], words[4], count == 6 ? words[5] : NULL);
    }
    sqlite3_close(db);
    return outcome;
}

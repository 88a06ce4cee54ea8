/* Draws what a plan needs from a stock that is kept in an SQLite file, all of it or nothing.
 *
 *   inventory STOCK.db                          lists the stock, and what was drawn from it for each casting
 *   inventory STOCK.db add MATERIAL LOT GRAMS   puts a lot on the shelf
 *   inventory STOCK.db draw CASTING.toml        plans the casting and draws what it needs
 *
 * The library says what the plan needs (question plan.make); the file says what is there. Older lots go first.
 * Everything is drawn in one transaction: if something is short, nothing is drawn and the program says what is
 * missing. Exit status: 0 done, 1 refused or failed, 3 short.
 */
#include "json.h"

#include <gelwright.h>
#include <sqlite3.h>

enum { DONE = 0, FAILED = 1, SHORT = 3 };

static const char *const TABLES =
    "CREATE TABLE IF NOT EXISTS stock ("
    "  material TEXT NOT NULL, lot TEXT NOT NULL, grams REAL NOT NULL CHECK (grams >= 0),"
    "  PRIMARY KEY (material, lot)) STRICT;"
    "CREATE TABLE IF NOT EXISTS drawn ("
    "  casting TEXT NOT NULL, material TEXT NOT NULL, lot TEXT NOT NULL, grams REAL NOT NULL) STRICT;";

static int complain(sqlite3 *db) {
    fprintf(stderr, "stock: %s\n", sqlite3_errmsg(db));
    return FAILED;
}

static sqlite3_stmt *prepare(sqlite3 *db, const char *sql) {
    sqlite3_stmt *statement = NULL;
    if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) != SQLITE_OK) {
        complain(db);
        exit(FAILED);
    }
    return statement;
}

/* Runs a statement that takes three texts and a number, as far as it has parameters. */
static int change(sqlite3 *db, const char *sql, double grams, const char *a, const char *b, const char *c) {
    sqlite3_stmt *statement = prepare(db, sql);
    sqlite3_bind_double(statement, 1, grams);
    sqlite3_bind_text(statement, 2, a, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(statement, 3, b, -1, SQLITE_TRANSIENT);
    if (c != NULL) {
        sqlite3_bind_text(statement, 4, c, -1, SQLITE_TRANSIENT);
    }
    const int outcome = sqlite3_step(statement);
    sqlite3_finalize(statement);
    return outcome == SQLITE_DONE ? DONE : complain(db);
}

/* A question to the library: the text of its answer, or NULL after saying why not. */
static char *answer_to(const char *question, const char *request) {
    gw_error *error = NULL;
    char *answer = NULL;
    if (gw_ask(question, request, &answer, &error) != GW_OK) {
        fprintf(stderr, "%s\n", gw_error_message(error));
        gw_error_free(error);
        return NULL;
    }
    return answer;
}

/* The same as a tree, with the text that it lives in. */
static json *ask(const char *question, const char *request, char **answer) {
    *answer = answer_to(question, request);
    return *answer == NULL ? NULL : json_read(*answer);
}

/* The grams of a mass as the library writes it ("1.2 kg"); below zero after saying why not. */
static double grams_of(const char *mass) {
    char request[128];
    char *answer = NULL;
    snprintf(request, sizeof request, "{\"quantity\": \"%s\", \"to\": \"g\"}", mass);
    json *tree = ask("quantity.convert", request, &answer);
    const json *number = json_at(tree, "number");
    const double grams = number == NULL ? -1.0 : number->number;
    json_free(tree);
    gw_string_free(answer);
    return grams;
}

/* Draws `grams` of a material lot by lot; what is missing goes to `missing`. */
static int draw_one(sqlite3 *db, const char *casting, const char *material, double grams, double *missing) {
    sqlite3_stmt *lots =
        prepare(db, "SELECT lot, grams FROM stock WHERE material = ?1 AND grams > 0 ORDER BY lot");
    int outcome = DONE;
    sqlite3_bind_text(lots, 1, material, -1, SQLITE_TRANSIENT);
    while (outcome == DONE && grams > 0.0 && sqlite3_step(lots) == SQLITE_ROW) {
        const char *lot = (const char *)sqlite3_column_text(lots, 0);
        const double there = sqlite3_column_double(lots, 1);
        const double taken = there < grams ? there : grams;
        outcome = change(db, "UPDATE stock SET grams = max(0, grams - ?1) WHERE material = ?2 AND lot = ?3", taken,
                         material, lot, NULL);
        if (outcome == DONE) {
            outcome = change(db, "INSERT INTO drawn (grams, casting, material, lot) VALUES (?1, ?2, ?3, ?4)", taken,
                             casting, material, lot);
        }
        grams -= taken;
    }
    sqlite3_finalize(lots);
    /* a scale does not show less than this */
    *missing = grams > 1e-6 ? grams : 0.0;
    return outcome;
}

static int draw_all(sqlite3 *db, const json *plan) {
    const char *casting = json_string(json_at(plan, "casting"));
    const json *needs = json_at(plan, "needs");
    int outcome = DONE;
    if (casting == NULL || needs == NULL || sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL) != SQLITE_OK) {
        return complain(db);
    }
    for (const json *need = needs->child; need != NULL && outcome != FAILED; need = need->next) {
        const char *material = json_string(json_at(need, "material"));
        const char *mass = json_string(json_at(need, "mass"));
        const double grams = mass == NULL ? -1.0 : grams_of(mass);
        double missing = 0.0;
        if (material == NULL || grams < 0.0 || draw_one(db, casting, material, grams, &missing) != DONE) {
            outcome = FAILED;
        } else if (missing > 0.0) {
            printf("short: %-24s needs %9.1f g, %9.1f g are missing\n", material, grams, missing);
            outcome = SHORT;
        } else {
            printf("       %-24s needs %9.1f g\n", material, grams);
        }
    }
    if (sqlite3_exec(db, outcome == DONE ? "COMMIT" : "ROLLBACK", NULL, NULL, NULL) != SQLITE_OK) {
        return complain(db);
    }
    printf(outcome == DONE ? "drawn for '%s'\n" : "nothing drawn for '%s'\n", casting);
    return outcome;
}

static int draw(sqlite3 *db, const char *path) {
    char *toml = json_file(path);
    if (toml == NULL) {
        fprintf(stderr, "%s can not be read\n", path);
        return FAILED;
    }
    char *quoted = json_quote(toml);
    char *request = (char *)json_memory(strlen(quoted) + 32);
    char *answer = NULL;
    sprintf(request, "{\"text\": %s}", quoted);
    /* the casting that was read is the request for its plan */
    char *casting = answer_to("plan.read_casting", request);
    json *plan = casting == NULL ? NULL : ask("plan.make", casting, &answer);
    const int outcome = plan == NULL ? FAILED : draw_all(db, plan);
    json_free(plan);
    gw_string_free(answer);
    gw_string_free(casting);
    free(request);
    free(quoted);
    free(toml);
    return outcome;
}

static int list(sqlite3 *db) {
    sqlite3_stmt *rows = prepare(db, "SELECT material, lot, grams FROM stock ORDER BY material, lot");
    while (sqlite3_step(rows) == SQLITE_ROW) {
        printf("%-24s %-12s %9.1f g\n", (const char *)sqlite3_column_text(rows, 0),
               (const char *)sqlite3_column_text(rows, 1), sqlite3_column_double(rows, 2));
    }
    sqlite3_finalize(rows);
    rows = prepare(db, "SELECT casting, material, sum(grams) FROM drawn GROUP BY casting, material ORDER BY 1, 2");
    while (sqlite3_step(rows) == SQLITE_ROW) {
        printf("drawn for '%s': %-24s %9.1f g\n", (const char *)sqlite3_column_text(rows, 0),
               (const char *)sqlite3_column_text(rows, 1), sqlite3_column_double(rows, 2));
    }
    sqlite3_finalize(rows);
    return DONE;
}

int main(int count, char **words) {
    sqlite3 *db = NULL;
    int outcome = FAILED;
    if (count < 2 || sqlite3_open(words[1], &db) != SQLITE_OK || sqlite3_busy_timeout(db, 5000) != SQLITE_OK ||
        sqlite3_exec(db, TABLES, NULL, NULL, NULL) != SQLITE_OK) {
        fprintf(stderr, "usage: inventory STOCK.db [add MATERIAL LOT GRAMS | draw CASTING.toml]\n");
        outcome = db == NULL ? FAILED : complain(db);
    } else if (count == 2) {
        outcome = list(db);
    } else if (count == 6 && strcmp(words[2], "add") == 0) {
        outcome = change(db, "INSERT INTO stock (grams, material, lot) VALUES (?1, ?2, ?3)", strtod(words[5], NULL),
                         words[3], words[4], NULL);
    } else if (count == 4 && strcmp(words[2], "draw") == 0) {
        outcome = draw(db, words[3]);
    }
    sqlite3_close(db);
    return outcome;
}

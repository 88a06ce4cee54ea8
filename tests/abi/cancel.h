/* Stopping a long question by a callback. */
#ifndef CANCEL_H
#define CANCEL_H

#include "check.h"
#include "wall.h"

#include <time.h>

/* Says stop at its `stop_at`th call; never where that is 0. */
struct patience {
    int calls;
    int stop_at;
};

#ifdef __cplusplus
extern "C" {
#endif
static int out_of_patience(void *user_data) {
    struct patience *p = (struct patience *)user_data;
    return ++p->calls == p->stop_at;
}
#ifdef __cplusplus
}
#endif

/* Cancelled at the callback's `stop_at`th call, soon, with nothing written. */
static void stopped(const char *question, const char *request, int stop_at) {
    struct patience p = {0, stop_at};
    char untouched = 'x';
    char *answer = &untouched;
    gw_error *error = NULL;
    const time_t start = time(NULL);
    const gw_status status = gw_ask_cancellable(question, request, out_of_patience, &p, &answer, &error);
    CHECK(status == GW_ERROR_CANCELLED);
    CHECK(p.calls == stop_at);
    CHECK(answer == &untouched);
    CHECK(difftime(time(NULL), start) < 20.0);
    CHECK(gw_error_status(error) == GW_ERROR_CANCELLED);
    CHECK(gw_error_kind(error) != NULL && strcmp(gw_error_kind(error), "cancelled") == 0);
    CHECK(gw_error_field(error) != NULL && strcmp(gw_error_field(error), "question") == 0);
    CHECK(gw_error_value(error) != NULL && strcmp(gw_error_value(error), question) == 0);
    CHECK(has(gw_error_message(error), "was cancelled"));
    gw_error_free(error);
}

/* A callback that never says stop, and none at all, change nothing. */
static void never_stopped(const char *question, const char *request) {
    struct patience p = {0, 0};
    char *plain = NULL;
    char *asked = NULL;
    char *without = NULL;
    CHECK(gw_ask(question, request, &plain, NULL) == GW_OK);
    CHECK(gw_ask_cancellable(question, request, out_of_patience, &p, &asked, NULL) == GW_OK);
    CHECK(gw_ask_cancellable(question, request, NULL, NULL, &without, NULL) == GW_OK);
    CHECK(p.calls >= 1);
    CHECK(plain != NULL && asked != NULL && strcmp(plain, asked) == 0);
    CHECK(plain != NULL && without != NULL && strcmp(plain, without) == 0);
    gw_string_free(plain);
    gw_string_free(asked);
    gw_string_free(without);
}

static void cancelling(void) {
    /* followed far more finely than anyone needs: minutes of work */
    char *fine = wall(8, "0.001 K");
    const size_t room = 4 * strlen(fine) + 100;
    char *sweep = (char *)malloc(room);
    snprintf(sweep, room, "{\"walls\": [%s, %s, %s, %s]}", fine, fine, fine, fine);
    stopped("heat.sweep_walls", sweep, 4);
    stopped("heat.wall", fine, 2);
    /* at the first call nothing is begun, be the question long or short */
    stopped("heat.wall", fine, 1);
    stopped("quantity.convert", "{\"quantity\": \"1 in\", \"to\": \"mm\"}", 1);
    free(fine);
    free(sweep);
    char *coarse = wall(1, "0.5 K");
    never_stopped("heat.wall", coarse);
    free(coarse);
    never_stopped("quantity.convert", "{\"quantity\": \"1 in\", \"to\": \"mm\"}");

    /* a refusal is the refusal, not the cancelling */
    struct patience p = {0, 0};
    gw_error *error = NULL;
    char *answer = NULL;
    CHECK(gw_ask_cancellable("heat.wall", "{}", out_of_patience, &p, &answer, &error) == GW_ERROR_DOCUMENT);
    CHECK(answer == NULL);
    gw_error_free(error);
    CHECK(gw_ask_cancellable("heat.wal", "{}", out_of_patience, &p, &answer, NULL) == GW_ERROR_UNKNOWN_NAME);
    CHECK(gw_ask_cancellable(NULL, "{}", out_of_patience, &p, &answer, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_ask_cancellable("heat.wall", NULL, out_of_patience, &p, &answer, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_ask_cancellable("heat.wall", "{}", out_of_patience, &p, NULL, NULL) == GW_ERROR_DOCUMENT);
}

#endif

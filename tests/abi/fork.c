/* Sweeps, which work on all cores, before and after a fork: a child has none of its parent's threads to wait for. */
#define _POSIX_C_SOURCE 200809L

#include "check.h"
#include "wall.h"

#include <sys/wait.h>
#include <unistd.h>

/* A child that takes longer than this waits for something that never comes. */
#define PATIENCE_SECONDS 120

static int never(void *user_data) {
    (void)user_data;
    return 0;
}

/* The same sweep asked both ways; NULL where it was refused. */
static char *swept(const char *request) {
    char *plain = NULL;
    char *watched = NULL;
    CHECK(gw_ask("heat.sweep_walls", request, &plain, NULL) == GW_OK);
    CHECK(gw_ask_cancellable("heat.sweep_walls", request, never, NULL, &watched, NULL) == GW_OK);
    CHECK(has(plain, "peak_k"));
    CHECK(plain != NULL && watched != NULL && strcmp(plain, watched) == 0);
    gw_string_free(watched);
    return plain;
}

static int ended_well(pid_t child) {
    int status = 0;
    return child > 0 && waitpid(child, &status, 0) == child && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

/* A child that sweeps, and answers as `expected`, where that is known; `deeper` children each fork the next. */
static pid_t child(const char *request, const char *expected, int deeper) {
    const pid_t pid = fork();
    if (pid != 0) {
        return pid;
    }
    alarm(PATIENCE_SECONDS);
    char *answer = swept(request);
    CHECK(expected == NULL || (answer != NULL && strcmp(answer, expected) == 0));
    if (deeper > 0) {
        CHECK(ended_well(child(request, answer, deeper - 1)));
    }
    gw_string_free(answer);
    _exit(failures == 0 ? 0 : 1);
}

int main(void) {
    char *one = wall(1, "0.5 K");
    char *two = wall(2, "0.5 K");
    const size_t room = 2 * (strlen(one) + strlen(two)) + 100;
    char *request = (char *)malloc(room);
    snprintf(request, room, "{\"walls\": [%s, %s, %s, %s]}", one, two, one, two);

    /* a child of a parent that has swept nothing yet, and what it forks once it has */
    CHECK(ended_well(child(request, NULL, 1)));
    /* a child of a parent that has; two at a time */
    char *answer = swept(request);
    const pid_t first = child(request, answer, 1);
    const pid_t second = child(request, answer, 0);
    CHECK(ended_well(first));
    CHECK(ended_well(second));
    /* the parent sweeps as before */
    char *again = swept(request);
    CHECK(answer != NULL && again != NULL && strcmp(answer, again) == 0);

    gw_string_free(answer);
    gw_string_free(again);
    free(request);
    free(two);
    free(one);
    printf("%d checks, %d failed\n", checks, failures);
    return failures == 0 ? 0 : 1;
}

/* Counting checks that hold and checks that do not. */
#ifndef CHECK_H
#define CHECK_H

#include <gelwright.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int checks = 0;
static int failures = 0;

#define CHECK(condition)                                                                     \
    do {                                                                                     \
        checks++;                                                                            \
        if (!(condition)) {                                                                  \
            failures++;                                                                      \
            fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition);          \
        }                                                                                    \
    } while (0)

static int has(const char *text, const char *part) {
    return text != NULL && strstr(text, part) != NULL;
}

#endif

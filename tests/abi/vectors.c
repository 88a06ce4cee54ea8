/* Asks the questions of tests/vectors through the C interface: vectors FILE.json... */
#include "json.h"

#include <gelwright.h>
#include <math.h>

static const char *file_name = "";
static const char *case_name = "";
static int passed = 0;
static int failed = 0;

static void fail(const char *what, const char *detail) {
    fprintf(stderr, "%s: %s: %s: %s\n", file_name, case_name, what, detail);
    failed++;
}

static int near(double found, double expected, double rtol, double atol) {
    return fabs(found - expected) <= atol + rtol * fabs(expected);
}

/* A number and its unit: the place of the unit, or NULL. */
static const char *split(const char *text, double *number) {
    char *end = NULL;
    *number = strtod(text, &end);
    return end == text ? NULL : json_space(end);
}

/* The number of `quantity` in `unit`, by the library's own conversion. */
static int in_unit(const char *quantity, const char *unit, double *number) {
    char *answer = NULL;
    char request[512];
    int done = 0;
    snprintf(request, sizeof request, "{\"quantity\": \"%s\", \"to\": \"%s\"}", quantity, unit);
    if (gw_ask("quantity.convert", request, &answer, NULL) == GW_OK) {
        json *tree = json_read(answer);
        const json *found = json_at(tree, "number");
        done = found != NULL;
        *number = done ? found->number : NAN;
        json_free(tree);
    }
    gw_string_free(answer);
    return done;
}

static int same_text(const char *found, const char *expected, double rtol, double atol) {
    double a = NAN, b = NAN;
    if (strcmp(found, expected) == 0) {
        return 1;
    }
    const char *unit_found = split(found, &a);
    const char *unit = split(expected, &b);
    if (unit_found == NULL || unit == NULL) {
        return 0;
    }
    if (strcmp(unit_found, unit) != 0 && !in_unit(found, unit, &a)) {
        return 0;
    }
    return near(a, b, rtol, atol);
}

/* Whether `found` is `expected`: of an object only the members that are expected. */
static int same(const json *found, const json *expected, double rtol, double atol) {
    if (found == NULL) {
        return expected->type == JSON_NULL;
    }
    if (found->type != expected->type) {
        return 0;
    }
    switch (expected->type) {
    case JSON_NUMBER:
        return near(found->number, expected->number, rtol, atol);
    case JSON_STRING:
        return same_text(found->string, expected->string, rtol, atol);
    case JSON_OBJECT:
        for (const json *e = expected->child; e != NULL; e = e->next) {
            if (!same(json_at(found, e->key), e, rtol, atol)) {
                return 0;
            }
        }
        return 1;
    case JSON_ARRAY: {
        const json *f = found->child;
        const json *e = expected->child;
        for (; f != NULL && e != NULL; f = f->next, e = e->next) {
            if (!same(f, e, rtol, atol)) {
                return 0;
            }
        }
        return f == NULL && e == NULL;
    }
    default:
        return 1;
    }
}

static void expect_answer(const json *test, const char *answer) {
    json *tree = json_read(answer);
    const json *rtol = json_at(test, "rtol");
    const json *atol = json_at(test, "atol");
    const json *expect = json_at(test, "expect");
    if (expect == NULL || expect->child == NULL) {
        fail("expects nothing", "add `expect` or `error`");
    }
    for (const json *e = expect == NULL ? NULL : expect->child; e != NULL; e = e->next) {
        const json *found = json_at(tree, e->key);
        if (!same(found, e, rtol == NULL ? 1e-9 : rtol->number, atol == NULL ? 0.0 : atol->number)) {
            char *is = found == NULL ? NULL : json_copy(found);
            char *should = json_copy(e);
            char detail[1024];
            snprintf(detail, sizeof detail, "is %s, expected %s", is == NULL ? "missing" : is, should);
            fail(e->key, detail);
            free(is);
            free(should);
        }
    }
    json_free(tree);
}

static void expect_error(const json *expected, const gw_error *error) {
    const struct { const char *key, *found; } parts[] = {
        {"kind", gw_error_kind(error)}, {"field", gw_error_field(error)}, {"says", gw_error_message(error)}};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        const char *wanted = json_string(json_at(expected, parts[i].key));
        if (wanted == NULL) {
            continue;
        }
        if (i < 2 ? strcmp(parts[i].found, wanted) != 0 : strstr(parts[i].found, wanted) == NULL) {
            fail(wanted, gw_error_message(error));
        }
    }
}

static void one(const json *test) {
    const char *name = json_string(json_at(test, "name"));
    const char *question = json_string(json_at(test, "question"));
    const json *request = json_at(test, "request");
    const json *expected_error = json_at(test, "error");
    const int before = failed;
    case_name = name == NULL ? "(no name)" : name;
    if (question == NULL || request == NULL || json_string(json_at(test, "source")) == NULL) {
        fail("a case needs", "name, source, question, request");
        return;
    }
    char *text = json_copy(request);
    char *answer = NULL;
    gw_error *error = NULL;
    const gw_status status = gw_ask(question, text, &answer, &error);
    if (status == GW_OK && expected_error != NULL) {
        fail("is answered, a refusal was expected", answer);
    } else if (status != GW_OK && expected_error == NULL) {
        fail("is refused", gw_error_message(error));
    } else if (status == GW_OK) {
        expect_answer(test, answer);
    } else {
        expect_error(expected_error, error);
    }
    passed += failed == before;
    gw_string_free(answer);
    gw_error_free(error);
    free(text);
}

int main(int count, char **files) {
    for (int i = 1; i < count; i++) {
        file_name = files[i];
        case_name = "-";
        char *text = json_file(files[i]);
        json *tests = text == NULL ? NULL : json_read(text);
        if (tests == NULL || tests->type != JSON_ARRAY || tests->child == NULL) {
            fail("can not be read", "a JSON list of cases is needed");
        } else {
            for (const json *test = tests->child; test != NULL; test = test->next) {
                one(test);
            }
        }
        json_free(tests);
        free(text);
    }
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 && passed > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

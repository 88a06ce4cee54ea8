/* The conventions of the C interface, checked: shared by the C11 and the C++17 program. */
#ifndef CONVENTIONS_H
#define CONVENTIONS_H

#include "cancel.h"
#include "check.h"
#include "typed.h"

static void versions(void) {
    char whole[64];
    snprintf(whole, sizeof whole, "%d.%d.%d", GW_VERSION_MAJOR, GW_VERSION_MINOR, GW_VERSION_PATCH);
    CHECK(strcmp(whole, GW_VERSION) == 0);
    CHECK(strcmp(gw_version(), GW_VERSION) == 0);
    CHECK(gw_abi_version() == GW_ABI_VERSION);
}

static void an_answer(void) {
    char *answer = NULL;
    gw_error *error = NULL;
    gw_status status = gw_ask("quantity.convert", "{\"quantity\": \"8 fl oz\", \"to\": \"mL\"}", &answer, &error);
    CHECK(status == GW_OK);
    CHECK(error == NULL);
    /* 1 US fluid ounce = 29.573 529 562 5 mL: NIST SP 811 (2008), appendix B.8 */
    CHECK(has(answer, "236.5882"));
    gw_string_free(answer);

    char *questions = NULL;
    CHECK(gw_questions(&questions, &error) == GW_OK);
    CHECK(has(questions, "\"quantity.convert\""));
    gw_string_free(questions);
}

/* A refusal leaves the result alone and tells its parts. */
static void refused(const char *question, const char *request, gw_status expected, const char *kind,
                    const char *field, const char *way_out) {
    char untouched = 'x';
    char *answer = &untouched;
    gw_error *error = NULL;
    gw_status status = gw_ask(question, request, &answer, &error);
    CHECK(status == expected);
    CHECK(answer == &untouched);
    CHECK(error != NULL);
    CHECK(gw_error_status(error) == expected);
    CHECK(gw_error_kind(error) != NULL && strcmp(gw_error_kind(error), kind) == 0);
    CHECK(gw_error_field(error) != NULL && strcmp(gw_error_field(error), field) == 0);
    CHECK(has(gw_error_way_out(error), way_out));
    CHECK(has(gw_error_message(error), way_out));
    if (failures > 0) {
        fprintf(stderr, "  %s: %s\n", kind, gw_error_message(error));
    }
    gw_error_free(error);
    /* the same without an error object, and without anything at all */
    CHECK(gw_ask(question, request, &answer, NULL) == expected);
    CHECK(answer == &untouched);
}

static void refusals(void) {
    refused("quantity.convert", "{\"quantity\": \"8\", \"to\": \"mL\"}", GW_ERROR_BARE_NUMBER, "bare_number", "quantity",
            "needs a unit");
    refused("quantity.convert", "{\"quantity\": \"some\", \"to\": \"mL\"}", GW_ERROR_UNREADABLE, "unreadable", "quantity",
            "write a number and a unit");
    refused("quantity.convert", "{\"quantity\": \"8 flagons\", \"to\": \"mL\"}", GW_ERROR_UNKNOWN_UNIT, "unknown_unit",
            "quantity", "");
    refused("quantity.convert", "{\"quantity\": \"8 oz\", \"to\": \"mL\"}", GW_ERROR_WRONG_DIMENSION, "wrong_dimension",
            "quantity", "'fl oz' a volume");
    refused("quantity.convert", "{\"quantity\": \"NaN mL\", \"to\": \"L\"}", GW_ERROR_NOT_FINITE, "not_finite", "quantity",
            "finite");
    refused("quantity.convert", "{\"quantity\": \"-300 degC\", \"to\": \"K\"}", GW_ERROR_OUT_OF_RANGE, "out_of_range",
            "quantity", "absolute zero");
    refused("quantity.convrt", "{}", GW_ERROR_UNKNOWN_NAME, "unknown_name", "question", "quantity.convert");
    refused("quantity.convert", "{\"quantity\": \"8 mL\", \"too\": \"L\"}", GW_ERROR_DOCUMENT, "document", "", "did you mean 'to'");
    refused("quantity.convert", "{\"quantity\": \"8 mL\"}", GW_ERROR_DOCUMENT, "document", "", "is missing");
    refused("quantity.convert", "", GW_ERROR_DOCUMENT, "document", "", "");
    refused("quantity.convert", "{\"quantity\": ", GW_ERROR_DOCUMENT, "document", "", "syntax");
    refused("", "{}", GW_ERROR_UNKNOWN_NAME, "unknown_name", "question", "");
    refused("quantity.convert", "{\"quantity\": \"8 \xff\", \"to\": \"mL\"}", GW_ERROR_UNREADABLE, "unreadable",
            "request_json", "UTF-8");
    refused("\xc3", "{}", GW_ERROR_UNREADABLE, "unreadable", "question", "UTF-8");
}

/* A dose with spreads. */
#define DOSE(dose, resin, sampling)                                                                                    \
    "{\"dose\": \"" dose "\", \"resin_volume\": \"" resin "\", \"resin_density\": \"1.1 g/mL\", "                         \
    "\"dose_density\": \"1.15 g/mL\", \"spread_sampling\": " sampling "}"

/* Any quantity of a request may have a spread: the answer says how sure its numbers are, and what makes it so. */
static void spreads(void) {
    char *answer = NULL;
    CHECK(gw_ask("mix.dose", DOSE("2 phr", "1 L", "{\"points\": 0}"), &answer, NULL) == GW_OK);
    CHECK(has(answer, "\"numbers\":[]"));
    gw_string_free(answer);
    answer = NULL;
    CHECK(gw_ask("mix.dose", DOSE("2 +/- 0.1 phr", "1 L +/- 3 %", "{\"points\": 64}"), &answer, NULL) == GW_OK);
    CHECK(has(answer, "\"band\":{") && has(answer, "\"path\":\"mass.value\"") && has(answer, "\"budget\":[{\"input\":\"dose\""));
    gw_string_free(answer);
    refused("mix.dose", DOSE("2 phr", "1 L +/- 120 %", "{}"), GW_ERROR_OUT_OF_RANGE, "out_of_range", "resin_volume", "");
    refused("mix.dose", DOSE("2 +/- 0.1 %", "1 L", "{}"), GW_ERROR_WRONG_DIMENSION, "wrong_dimension", "dose", "");
    refused("mix.dose", DOSE("2 phr", "1 L +/- 3 %", "{\"points\": 100}"), GW_ERROR_OUT_OF_RANGE, "out_of_range",
            "spread_sampling.points", "");
    refused("mix.dropper_from_calibration", "{\"drops\": \"100 +/- 5\", \"mass\": \"3.2 g\", \"density\": \"1.15 g/mL\"}",
            GW_ERROR_DOCUMENT, "document", "drops", "whole number");
}

static void nulls(void) {
    refused(NULL, "{}", GW_ERROR_DOCUMENT, "document", "question", "pass a pointer for 'question'");
    refused("quantity.convert", NULL, GW_ERROR_DOCUMENT, "document", "request_json", "pass a pointer for 'request_json'");
    gw_error *error = NULL;
    CHECK(gw_ask("quantity.factors", "{}", NULL, &error) == GW_ERROR_DOCUMENT);
    CHECK(gw_error_field(error) != NULL && strcmp(gw_error_field(error), "answer_json") == 0);
    CHECK(gw_error_allowed(error) != NULL && gw_error_value(error) != NULL);
    gw_error_free(error);
    CHECK(gw_questions(NULL, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_ask(NULL, NULL, NULL, NULL) == GW_ERROR_DOCUMENT);

    gw_string_free(NULL);
    gw_error_free(NULL);
    CHECK(gw_error_status(NULL) == GW_OK);
    CHECK(gw_error_message(NULL) == NULL);
    CHECK(gw_error_kind(NULL) == NULL);
    CHECK(gw_error_field(NULL) == NULL);
    CHECK(gw_error_value(NULL) == NULL);
    CHECK(gw_error_allowed(NULL) == NULL);
    CHECK(gw_error_way_out(NULL) == NULL);
}

static int run(void) {
    versions();
    an_answer();
    refusals();
    spreads();
    nulls();
    cancelling();
    typed();
    printf("%d passed, %d failed\n", checks - failures, failures);
    return failures == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif

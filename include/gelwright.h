// The C interface of gelwright. Written by `cargo xtask header` from crates/gelwright-capi: do not edit.
//
// Conventions
// * Prefix gw_. Text is UTF-8 and NUL-terminated. Numbers are in SI or in the unit their name ends with.
// * A function that can refuse returns a gw_status. Its results are written on success and left untouched
//   on failure, so they can be set beforehand to whatever suits the caller.
// * Its last parameter, gw_error **error, may be NULL. On failure *error receives an object that tells the
//   kind, the field, the value, what is allowed and the way out; free it with gw_error_free.
// * Whoever reads a char * through an out-parameter frees it with gw_string_free. A const char * that a
//   function returns belongs to the library or to the object asked, and is not freed.
// * NULL where a pointer is needed is refused (GW_ERROR_DOCUMENT, naming the parameter). Freeing NULL does nothing.
// * No panic crosses (GW_ERROR_PANIC says that one was caught). There is no global state: call from any thread.
//   An object may be used by one thread at a time.


#ifndef GELWRIGHT_H
#define GELWRIGHT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define GW_VERSION_MAJOR 0
#define GW_VERSION_MINOR 1
#define GW_VERSION_PATCH 0
#define GW_VERSION "0.1.0"

// Version of the binary interface. It rises with every change that breaks a compiled program.
#define GW_ABI_VERSION 0

// What became of a call. The numbers are fixed: none is ever reused.
enum gw_status
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // Done; the results are written.
  GW_OK = 0,
  // A bare number stands where a number with a unit is needed.
  GW_ERROR_BARE_NUMBER = 1,
  // A text is no number with a unit, or not UTF-8.
  GW_ERROR_UNREADABLE = 2,
  // The unit is not known.
  GW_ERROR_UNKNOWN_UNIT = 3,
  // The unit is known but measures something else.
  GW_ERROR_WRONG_DIMENSION = 4,
  // The value is not a number, or not finite.
  GW_ERROR_NOT_FINITE = 5,
  // The value is outside what is physically or practically allowed.
  GW_ERROR_OUT_OF_RANGE = 6,
  // A name is not known.
  GW_ERROR_UNKNOWN_NAME = 7,
  // Two inputs, each fine alone, contradict each other.
  GW_ERROR_INCONSISTENT = 8,
  // A document is malformed, has an unknown field or lacks one; or a pointer is NULL.
  GW_ERROR_DOCUMENT = 9,
  // A document's version is not one that this library reads.
  GW_ERROR_VERSION = 10,
  // The question is well put and has no answer.
  GW_ERROR_NO_SOLUTION = 11,
  // A numerical method did not reach its tolerance.
  GW_ERROR_NOT_CONVERGED = 12,
  // The caller cancelled the work.
  GW_ERROR_CANCELLED = 13,
  // A kind of refusal that this version of the header has no number for.
  GW_ERROR_OTHER = 253,
  // A mistake in the library itself (a panic was caught). Please report it.
  GW_ERROR_PANIC = 255,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum gw_status gw_status;
#else
typedef int32_t gw_status;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// A refusal: its message and its parts. Freed with gw_error_free.
typedef struct gw_error gw_error;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

// The version of the binary interface of the library that is loaded: compare it with GW_ABI_VERSION of the
// header that the program was compiled with.
uint32_t gw_abi_version(void);

// The version of the library, as text that lives as long as the program. Do not free it.
const char *gw_version(void);

// Asks a question: the door to every computation of the library.
//
// `question` is its name ("mix.dose"), `request_json` its request as a JSON object with quantities as text
// with their units ("450 g/m^2"). On success `*answer_json` receives the answer as JSON, to be freed with
// gw_string_free. gw_questions lists the questions with the schemas of request and answer.
//
// # Safety
// `question` and `request_json` point to NUL-terminated text, `answer_json` to a writable pointer; `error` is
// NULL or points to a writable pointer.
gw_status gw_ask(const char *question,
                 const char *request_json,
                 char **answer_json,
                 struct gw_error **error);

// Lists every question: `*questions_json` receives a JSON array of objects with `name`, `about`, and the JSON
// schemas `request` and `answer`, to be freed with gw_string_free.
//
// # Safety
// `questions_json` points to a writable pointer; `error` is NULL or points to a writable pointer.
gw_status gw_questions(char **questions_json,
                       struct gw_error **error);

// Frees text that the library returned through a `char **`. NULL is allowed.
//
// # Safety
// `text` is NULL or came from this library and has not been freed.
void gw_string_free(char *text);

// The status that came with the error; GW_OK for NULL.
//
// # Safety
// `error` is NULL or came from this library and has not been freed.
gw_status gw_error_status(const struct gw_error *error);

// The whole message, for a person: field, value, allowed range, way out. NULL for NULL. The text belongs to
// the error and dies with it.
//
// # Safety
// `error` is NULL or came from this library and has not been freed.
const char *gw_error_message(const struct gw_error *error);

// The kind of mistake as a stable name in snake_case ("out_of_range"), the same in every language.
//
// # Safety
// As gw_error_message.
const char *gw_error_kind(const struct gw_error *error);

// The field that the error is about, as a path ("zones[0].area"); may be empty.
//
// # Safety
// As gw_error_message.
const char *gw_error_field(const struct gw_error *error);

// The offending value with its unit as it was given; NULL where there is none.
//
// # Safety
// As gw_error_message.
const char *gw_error_value(const struct gw_error *error);

// What is allowed, with units (for GW_ERROR_NO_SOLUTION the nearest answer); NULL where there is none.
//
// # Safety
// As gw_error_message.
const char *gw_error_allowed(const struct gw_error *error);

// The way out: what to do or write instead; NULL where there is none.
//
// # Safety
// As gw_error_message.
const char *gw_error_way_out(const struct gw_error *error);

// Frees an error. NULL is allowed.
//
// # Safety
// `error` is NULL or came from this library and has not been freed.
void gw_error_free(struct gw_error *error);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* GELWRIGHT_H */

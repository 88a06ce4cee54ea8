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

// A mesh file's format: STL, binary or in text.
#define GW_MESH_STL 0

// A mesh file's format: OBJ.
#define GW_MESH_OBJ 1

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

// A data sheet's gel-time table, checked and fitted. Made by gw_gel_table_new, freed by gw_gel_table_free.
typedef struct gw_gel_table gw_gel_table;

// A dropper: how much one drop is, and how sure that is. Made by gw_dropper_uncalibrated or
// gw_dropper_calibrated.
typedef struct gw_dropper {
  // Mean volume of a drop, in cubic metres.
  double drop_volume_m3;
  // Standard deviation of one drop over the mean drop.
  double drop_spread;
  // Relative standard uncertainty of the mean drop: what counting more drops does not remove.
  double mean_uncertainty;
  // Whether its drop was weighed rather than assumed.
  bool calibrated;
} gw_dropper;

// A dose as it is to be measured, and how surely it comes out. The intervals hold the dose with a probability
// of 95 %.
typedef struct gw_measured_dose {
  // The dose: parts by mass to a hundred parts by mass of resin.
  double dose_phr;
  // Its mass, in kilograms: what to weigh.
  double mass_kg;
  // Its volume, in cubic metres: what to draw up in a syringe.
  double volume_m3;
  // If it is weighed: lower end of what comes out.
  double weighed_low_phr;
  // If it is weighed: upper end of what comes out.
  double weighed_high_phr;
  // Whole drops to count, one at least; 0 without a dropper.
  uint32_t drops;
  // If drops are counted: the dose of that many whole drops; 0 without a dropper.
  double counted_phr;
  // If drops are counted: lower end of what comes out; 0 without a dropper.
  double counted_low_phr;
  // If drops are counted: upper end of what comes out; 0 without a dropper.
  double counted_high_phr;
} gw_measured_dose;

// One row of a gel-time table.
typedef struct gw_gel_row {
  // Temperature of resin and surroundings, in kelvin.
  double temperature_K;
  // Catalyst: parts by mass to a hundred parts by mass of resin.
  double dose_phr;
  // Time from mixing to gel, in seconds.
  double time_s;
} gw_gel_row;

// A gel time with its band of about 95 %.
typedef struct gw_gel_time {
  // Most likely time from mixing to gel, in seconds.
  double time_s;
  // Lower end of the band: plan the working time with this one.
  double low_s;
  // Upper end of the band.
  double high_s;
  // Whether temperature or dose lie outside the table.
  bool extrapolated;
} gw_gel_time;

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
// gw_string_free. gw_questions lists the questions with the schemas of request and answer; gw_ask_cancellable asks
// one that can be stopped while it is worked on.
//
// # Safety
// `question` and `request_json` point to NUL-terminated text, `answer_json` to a writable pointer; `error` is
// NULL or points to a writable pointer.
gw_status gw_ask(const char *question,
                 const char *request_json,
                 char **answer_json,
                 struct gw_error **error);

// As gw_ask, for a caller who may want to stop it.
//
// `should_stop` is called on the calling thread with `user_data`: once before the work, and about 20 times a second
// while the library works (on threads of its own). Once it returns other than 0, the work is given up and the
// result is GW_ERROR_CANCELLED; `*answer_json` is left untouched. It must return normally: no exception, no longjmp.
// It may call the library. NULL never stops, and is then the same as gw_ask. `user_data` is handed on and otherwise
// not looked at; it may be NULL.
//
// # Safety
// As gw_ask; `should_stop` is NULL or a function that may be called with `user_data` during this call, and returns.
gw_status gw_ask_cancellable(const char *question,
                             const char *request_json,
                             int (*should_stop)(void *user_data),
                             void *user_data,
                             char **answer_json,
                             struct gw_error **error);

// Lists every question: `*questions_json` receives a JSON array of objects with `name`, `about`, `long` (whether it
// may take long: ask it with gw_ask_cancellable), `noun` and `method` (whose method it is in other languages),
// `subject` (what the request calls that noun), and the JSON schemas `request` and `answer`, to be freed with
// gw_string_free.
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

// The dropper that nobody has calibrated: a drop of 0.03 mL, with the wide spread of what published rules
// imply. Common practice, no source.
//
// # Safety
// `dropper` points to a writable struct; `error` is NULL or points to a writable pointer.
gw_status gw_dropper_uncalibrated(struct gw_dropper *dropper,
                                  struct gw_error **error);

// A dropper from its calibration: so many drops of a liquid of this density weigh so much. Weigh the liquid
// that the dropper will be used with, not water. `scale_step_kg` is the display step of the scale (0.0001 for
// a scale that shows tenths of a gram).
//
// # Safety
// `dropper` points to a writable struct; `error` is NULL or points to a writable pointer.
gw_status gw_dropper_calibrated(uint32_t drops,
                                double mass_kg,
                                double density_kg_per_m3,
                                double scale_step_kg,
                                struct gw_dropper *dropper,
                                struct gw_error **error);

// What to weigh, draw up or count for a dose, and how surely it comes out.
//
// `dose` is text that says its basis: "2 wt% on resin", "2 vol% on resin", "20 mL/kg", "10 drops/fl oz"; a bare
// percent is refused. `dropper` may be NULL where no drops are counted. `scale_step_kg` is the display step of
// the scale.
//
// # Safety
// `dose` points to NUL-terminated text, `dropper` is NULL or points to a struct, `measured` points to a
// writable struct; `error` is NULL or points to a writable pointer.
gw_status gw_dose_measure(const char *dose,
                          double resin_mass_kg,
                          double resin_density_kg_per_m3,
                          double dose_density_kg_per_m3,
                          double scale_step_kg,
                          const struct gw_dropper *dropper,
                          struct gw_measured_dose *measured,
                          struct gw_error **error);

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

// A gel-time table from the rows of a data sheet, two or more. `source` says where they stand.
//
// # Safety
// `rows` points to `count` structs (or is NULL with `count` 0), `source` to NUL-terminated text, `table` to a
// writable pointer; `error` is NULL or points to a writable pointer.
gw_status gw_gel_table_new(const struct gw_gel_row *rows,
                           size_t count,
                           const char *source,
                           struct gw_gel_table **table,
                           struct gw_error **error);

// The gel time at a temperature and a dose. Outside the table it is extrapolated, and says so.
//
// # Safety
// `table` came from gw_gel_table_new and has not been freed, `gel_time` points to a writable struct; `error` is
// NULL or points to a writable pointer.
gw_status gw_gel_table_gel_time(const struct gw_gel_table *table,
                                double temperature_K,
                                double dose_phr,
                                struct gw_gel_time *gel_time,
                                struct gw_error **error);

// The dose between `least_phr` and `most_phr` (the data sheet's window) that gives a wanted gel time at a
// temperature. GW_ERROR_NO_SOLUTION if none does; the error tells the nearest.
//
// `gel_time` receives the gel time at that dose with its band; it may be NULL.
//
// # Safety
// `table` came from gw_gel_table_new and has not been freed, `dose_phr` points to a writable number, `gel_time`
// is NULL or points to a writable struct; `error` is NULL or points to a writable pointer.
gw_status gw_gel_table_dose_for(const struct gw_gel_table *table,
                                double time_s,
                                double temperature_K,
                                double least_phr,
                                double most_phr,
                                double *dose_phr,
                                struct gw_gel_time *gel_time,
                                struct gw_error **error);

// Frees a gel-time table. NULL is allowed.
//
// # Safety
// `table` is NULL or came from gw_gel_table_new and has not been freed.
void gw_gel_table_free(struct gw_gel_table *table);

// Measures a mesh from the bytes of its file: area, volume, rims, each with its uncertainty.
//
// `format` is GW_MESH_STL or GW_MESH_OBJ; any other number is refused. `reading_json` says how it is to be read, as the
// `reading` of the question "mould.mesh_text" whose answer `*size_json` receives (to be freed with gw_string_free); at least
// the unit of the file, as {"unit": "mm"}. It may take seconds for a million triangles.
//
// # Safety
// `bytes` points to `count` bytes (or is NULL with `count` 0), `reading_json` to NUL-terminated text, `size_json` to a
// writable pointer; `error` is NULL or points to a writable pointer.
gw_status gw_mesh_measure(const uint8_t *bytes,
                          size_t count,
                          int32_t format,
                          const char *reading_json,
                          char **size_json,
                          struct gw_error **error);

// Measures a mesh from arrays: `vertices` holds three coordinates for each of `vertex_count` vertices, `triangles` the three
// corners of each of `triangle_count` triangles, counted from 0, counter-clockwise seen from outside. Else as
// gw_mesh_measure.
//
// # Safety
// `vertices` points to `3 * vertex_count` numbers, `triangles` to `3 * triangle_count` (each NULL where its count is 0),
// `reading_json` to NUL-terminated text, `size_json` to a writable pointer; `error` is NULL or points to a writable pointer.
gw_status gw_mesh_measure_arrays(const double *vertices,
                                 size_t vertex_count,
                                 const uint32_t *triangles,
                                 size_t triangle_count,
                                 const char *reading_json,
                                 char **size_json,
                                 struct gw_error **error);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* GELWRIGHT_H */

/* The whole run, step by step, and the survey folder that it leaves on disk: read, check, fit, estimate, decide, write.
 * A step needs the one before it and says so where it comes too early (FOCI_TOO_EARLY, exit status 1). */
#ifndef FIELDFOCI_STEPS_H
#define FIELDFOCI_STEPS_H

#include "fieldfoci/execution.h"
#include "fieldfoci/survey.h"

/* FOCI_BAD_SETTING: what a map needs is not there (the field's boundary), or what was asked cannot be decided by. To be
 * asked before any file is read; foci_survey_map asks it too. */
FOCI_API bool foci_survey_options_check(const foci_survey_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Reads the disease's profile, the boundary (where one is named) and `count` files of stops. FOCI_BAD_SETTING,
 * FOCI_NO_FILE, FOCI_BAD_INPUT: as those who read them (stops.h, field.h, profile.h). */
FOCI_API bool foci_survey_read(foci_survey *out, const foci_survey_options *options, const char *const *files,
                               size_t count, foci_error *err) FOCI_MUST_CHECK;

/* The same of stops and a boundary in memory, both copied; `name` of the field (NULL: none), `boundary` NULL: none, and
 * then no map. What the options say of files does not count. FOCI_BAD_SETTING, FOCI_BAD_INPUT: as foci_stops_of_arrays
 * and foci_field_of_shape. */
FOCI_API bool foci_survey_take(foci_survey *out, const foci_survey_options *options, const foci_stop_arrays *stops,
                               const char *name, const foci_multipolygon *boundary, foci_error *err) FOCI_MUST_CHECK;

/* Runs the data checks and makes the readings. FOCI_BAD_INPUT: why the stops cannot be mapped; stops, field and
 * findings are there to be shown then, and no later step can follow. */
FOCI_API bool foci_survey_check(foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

/* Fits the surface's method to the readings and, unless it is for places only, judges whether they are patchy. Fewer
 * than FOCI_STOPS_FOR_MAP stops are fitted for places only: model.method stays NULL. FOCI_NO_FIT: the method that
 * was asked for cannot be fitted. On failure the survey can only be freed; so with all later steps. */
FOCI_API bool foci_survey_fit(foci_survey *survey, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Grid, surface and cross-validation; nothing where too few stops were fitted. FOCI_BAD_SETTING: there is no boundary,
 * or the cells are too many for this machine. */
FOCI_API bool foci_survey_estimate(foci_survey *survey, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Hotspots, zones, economics, dig-checks, cautions and warnings. FOCI_BAD_SETTING: there is no threshold, or what was
 * asked cannot be decided by. */
FOCI_API bool foci_survey_decide(foci_survey *survey, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Fit, estimate and decide, of a survey that was checked or recalled; what would make the last of them fail is looked
 * at first. A recalled survey comes out as the first time, byte for byte. */
FOCI_API bool foci_survey_map(foci_survey *survey, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Reads a survey back from the folder that foci_survey_write left: the same stops, field and options, checked again.
 * FOCI_NO_FILE, FOCI_BAD_INPUT: no survey folder. */
FOCI_API bool foci_survey_recall(foci_survey *out, const char *folder, foci_error *err) FOCI_MUST_CHECK;

/* The same from a history, by the whole of the survey's sha256. FOCI_BAD_INPUT where there is none. */
FOCI_API bool foci_history_recall(foci_survey *out, const char *history, const char *sha256, const foci_execution *how,
                                  foci_error *err) FOCI_MUST_CHECK;

/* Writes the survey folder, whole or not at all. Without `overwrite` an existing folder is refused; with it only a
 * survey folder is replaced, and files of others in it are kept. */
FOCI_API bool foci_survey_write(const foci_survey *survey, const char *folder, bool overwrite,
                                foci_error *err) FOCI_MUST_CHECK;

/* The text of survey.json; owned by the caller. `folder`: where it is meant to lie, files are named from there; NULL:
 * as they were given. */
FOCI_API char *foci_survey_summary(const foci_survey *survey, const char *folder, foci_error *err) FOCI_MUST_CHECK;

/* What `check --json` prints: inputs, reading, stops, findings; owned by the caller. `unfit`: what foci_survey_check
 * said. */
FOCI_API char *foci_survey_check_summary(const foci_survey *survey, const foci_error *unfit,
                                         foci_error *err) FOCI_MUST_CHECK;

/* What `pattern --json` prints; owned by the caller. */
FOCI_API char *foci_survey_pattern_summary(const foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

/* The local tests per used stop to a file (.csv, .geojson, .gpkg), whole or not at all, as the files below: what is
 * there is replaced with `overwrite` only. */
FOCI_API bool foci_survey_write_local_tests(const foci_survey *survey, const char *file, bool overwrite,
                                            foci_error *err) FOCI_MUST_CHECK;

/* Estimates at the points of the file `at`, written to `file` (.csv, .geojson, .gpkg) with the columns of the places
 * and `estimate`, `variance`, `chance`, in their order; `places` tells how many. How
 * that file was read, where that was a choice, becomes a finding of the survey. */
FOCI_API bool foci_survey_estimate_at(foci_survey *survey, const char *at, const char *file, bool overwrite,
                                      size_t *places, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Leave-one-out results per used stop to `file`: stop, reading, estimate, variance, error (reading minus estimate), z.
 * `*summary` (may be NULL) receives the text of the cross_check object; owned by the caller. */
FOCI_API bool foci_survey_estimate_leave_one_out(const foci_survey *survey, const char *file, bool overwrite,
                                                 char **summary, const foci_execution *how,
                                                 foci_error *err) FOCI_MUST_CHECK;

/* Draws the stops of a checked survey (it must have a field) as dots to `file` (.png). */
FOCI_API bool foci_survey_draw_dots(const foci_survey *survey, const char *file, bool overwrite,
                                    foci_error *err) FOCI_MUST_CHECK;

/* Draws the variogram to `file` (.png). `model` may be NULL. */
FOCI_API bool foci_survey_draw_variogram(const foci_survey *survey, const foci_semivariances *semivariances,
                                         const foci_variogram *model, const char *file, bool overwrite,
                                         foci_error *err) FOCI_MUST_CHECK;

#endif

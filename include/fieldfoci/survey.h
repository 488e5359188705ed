/* The whole run, step by step, and the survey folder that it leaves on disk. */
#ifndef FIELDFOCI_SURVEY_H
#define FIELDFOCI_SURVEY_H

#include "fieldfoci/round.h"
#include "fieldfoci/execution.h"
#include "fieldfoci/settings.h"

typedef struct {
    foci_settings settings; /* a copy; what was left open is filled in as it was used */
    foci_round round;
} foci_survey;

/* Reads profile, field and stops and runs the data checks. `unfit` says why the stops cannot be mapped where they
 * cannot (the call still succeeds: the stops and the findings are there to be shown). */
FOCI_API bool foci_survey_look(foci_survey *out, const foci_settings *settings, foci_error *unfit,
                               foci_error *err) FOCI_MUST_CHECK;

/* The same, and the surface's method with its variogram: what `estimate` works with. Unfit stops are an error. */
FOCI_API bool foci_survey_model(foci_survey *out, const foci_settings *settings, const foci_execution *how,
                                foci_error *err) FOCI_MUST_CHECK;

/* Reads a survey back from the folder that foci_survey_write left: the same stops, field and options, looked at again.
 * FOCI_NO_FILE, FOCI_BAD_INPUT: no survey folder. */
FOCI_API bool foci_survey_recall(foci_survey *out, const char *folder, foci_error *err) FOCI_MUST_CHECK;

/* The same from a history, by the whole of the survey's sha256. FOCI_BAD_INPUT where there is none. */
FOCI_API bool foci_history_recall(foci_survey *out, const char *history, const char *sha256, const foci_execution *how,
                                  foci_error *err) FOCI_MUST_CHECK;

/* Fits the surface's method to the readings of a survey that was looked at or recalled (for fewer than
 * FOCI_STOPS_FOR_MAP of them: none) and judges whether they are patchy: round.model, round.pattern. */
FOCI_API bool foci_survey_judge_pattern(foci_survey *survey, const foci_execution *how,
                                        foci_error *err) FOCI_MUST_CHECK;

/* What `pattern --json` prints; owned by the caller. */
FOCI_API char *foci_survey_pattern_summary(const foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

/* The local tests per used stop to settings->out (.csv, .geojson, .gpkg). */
FOCI_API bool foci_survey_write_local_tests(const foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

/* The whole run: model, grid, surface, cross-check, hotspots, zones. */
FOCI_API bool foci_survey_map(foci_survey *out, const foci_settings *settings, const foci_execution *how,
                              foci_error *err) FOCI_MUST_CHECK;

/* The rest of the whole run, for a survey that was looked at or recalled: surfaces come out as the first time, byte for
 * byte. On failure it can only be freed. */
FOCI_API bool foci_survey_finish(foci_survey *survey, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Writes the survey folder, whole or not at all. Without `overwrite` an existing folder is refused; with it only a
 * survey folder is replaced, and files of others in it are kept. */
FOCI_API bool foci_survey_write(const foci_survey *survey, const char *folder, bool overwrite,
                                foci_error *err) FOCI_MUST_CHECK;

/* The text of survey.json; owned by the caller. */
FOCI_API char *foci_survey_summary(const foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

/* What `check --json` prints: inputs, reading, stops, findings; owned by the caller. */
FOCI_API char *foci_survey_check_summary(const foci_survey *survey, const foci_error *unfit,
                                         foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_survey_free(foci_survey *survey);

/* Estimates at the points of settings->at, written to settings->out (.csv, .geojson, .gpkg) with the columns of the
 * places and `estimate`, `variance`, `chance`, in their order; `places` tells how many. */
FOCI_API bool foci_survey_estimate_at(const foci_survey *survey, size_t *places, const foci_execution *how,
                                      foci_error *err) FOCI_MUST_CHECK;

/* Leave-one-out results per used stop to settings->out: stop, reading, estimate, variance, error (reading minus
 * estimate), z. `*summary` (may be NULL) receives the text of the cross_check object; owned by the caller. */
FOCI_API bool foci_survey_estimate_left_out(const foci_survey *survey, char **summary, const foci_execution *how,
                                            foci_error *err) FOCI_MUST_CHECK;

/* Draws the variogram to settings->out (.png), whole or not at all. `model` may be NULL. */
FOCI_API bool foci_survey_draw_variogram(const foci_survey *survey, const foci_semivariances *semivariances,
                                         const foci_variogram *model, foci_error *err) FOCI_MUST_CHECK;

#endif

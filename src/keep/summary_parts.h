/* Parts of the summaries that more than one of them has. */
#ifndef FOCI_KEEP_SUMMARY_PARTS_H
#define FOCI_KEEP_SUMMARY_PARTS_H

#include "data/files/json_file.h"
#include "fieldfoci/cross_validation.h"
#include "fieldfoci/survey.h"

/* A new object or array under `key`, or at the end of `array`; it stays its parent's. NULL on failure. */
foci_json *foci_summary_child(foci_json *parent, const char *key, foci_error *err) FOCI_MUST_CHECK;
foci_json *foci_summary_child_array(foci_json *parent, const char *key, foci_error *err) FOCI_MUST_CHECK;
foci_json *foci_summary_next_child(foci_json *array, foci_error *err) FOCI_MUST_CHECK;

/* An array of longitude and latitude. */
bool foci_summary_put_place(foci_json *parent, const char *key, foci_point place, foci_error *err) FOCI_MUST_CHECK;

bool foci_summary_put_sentences(foci_json *parent, const char *key, const foci_sentences *sentences,
                                foci_error *err) FOCI_MUST_CHECK;

/* `program` and `made`. */
bool foci_summary_put_program(foci_json *root, const char *made, foci_error *err) FOCI_MUST_CHECK;

/* `field` and `disease`; null where the round has none. */
bool foci_summary_put_field(foci_json *root, const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;
bool foci_summary_put_disease(foci_json *root, const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* The `variogram` object of survey.json; null where there is no model. */
bool foci_summary_put_model(foci_json *parent, const char *key, const foci_variogram *model,
                            foci_error *err) FOCI_MUST_CHECK;

/* The members of the `cross_check` object. */
bool foci_summary_fill_cross_validation(foci_json *object, const foci_cross_validation *check,
                                        foci_error *err) FOCI_MUST_CHECK;

#endif

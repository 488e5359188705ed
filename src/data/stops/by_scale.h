/* Readings by an ordinal scale: scores that stand for classes of percent, and plants counted in each class. */
#ifndef FOCI_DATA_BY_SCALE_H
#define FOCI_DATA_BY_SCALE_H

#include "data/files/vector_file.h"
#include "fieldfoci/stops.h"

#define FOCI_NO_SCALE "none" /* --scale-of none: the column holds amounts, whatever a profile expects */
#define FOCI_INDEX_UNIT "percent of the worst score (disease severity index)"

/* The scale that the options name; unit and limits of the readings become percent. FOCI_BAD_SETTING: no such scale, or
 * options that contradict. */
bool foci_by_scale_begin(foci_stops *stops, const foci_stops_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Whether a column may hold scores: FOCI_BAD_INPUT where numbers in it have percent signs, or where only a profile says
 * that it does and its name says percent. */
bool foci_by_scale_is_score(const foci_stops *stops, const foci_stops_options *options, bool percent_signs,
                            const char *file, foci_error *err) FOCI_MUST_CHECK;

/* The stop's value, a score until now, becomes the percent of its class; NaN where it is none, which the checks tell.
 * Where only a profile says that these are scores, FOCI_BAD_INPUT. */
bool foci_by_scale_take(foci_stop *stop, const foci_stops *stops, const foci_stops_options *options, const char *file,
                        foci_error *err) FOCI_MUST_CHECK;

/* The columns of plants in each class: as many as the scale has classes. */
bool foci_by_scale_columns(size_t columns[FOCI_STEPS_MOST], const foci_stops *stops, foci_table *table,
                           const char *file, const foci_stops_options *options, foci_error *err) FOCI_MUST_CHECK;

/* The severity index of one row; NaN where a number is blank or no number (as foci_cell_number), or no plant is in any
 * class. FOCI_BAD_INPUT for what is no number of plants. */
bool foci_by_scale_index(foci_stop *stop, const foci_cell *row, const size_t columns[FOCI_STEPS_MOST],
                         const foci_stops *stops, const char *file, foci_error *err) FOCI_MUST_CHECK;

#endif

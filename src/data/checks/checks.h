/* The data checks, one function a row of foci_check_table. */
#ifndef FOCI_DATA_CHECKS_H
#define FOCI_DATA_CHECKS_H

#include "fieldfoci/checks.h"

/* What a row's function takes and does: see foci_check. Findings are added without a name; foci_checks_make gives them
 * the row's. */
#define FOCI_CHECK(name)                                                                                               \
    bool name(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,                       \
              const foci_multipolygon *field_shape, foci_error *err) FOCI_MUST_CHECK

/* checks_place.c */
FOCI_CHECK(foci_check_no_place);
FOCI_CHECK(foci_check_swapped);
FOCI_CHECK(foci_check_minutes);
FOCI_CHECK(foci_check_sign);
FOCI_CHECK(foci_check_no_fix);
FOCI_CHECK(foci_check_no_such_place);
FOCI_CHECK(foci_check_outside);
FOCI_CHECK(foci_check_shared_place);

/* checks_layout.c */
FOCI_CHECK(foci_check_one_line);
FOCI_CHECK(foci_check_repeated_place);
FOCI_CHECK(foci_check_close_stops);
FOCI_CHECK(foci_check_edge);
FOCI_CHECK(foci_check_coarse_place);

/* checks_reading.c */
FOCI_CHECK(foci_check_how_read);
FOCI_CHECK(foci_check_ordinal);
FOCI_CHECK(foci_check_like_scale);
FOCI_CHECK(foci_check_blank);
FOCI_CHECK(foci_check_text);
FOCI_CHECK(foci_check_impossible);
FOCI_CHECK(foci_check_date);

/* checks_trend.c */
FOCI_CHECK(foci_check_trend);

/* checks_survey.c */
FOCI_CHECK(foci_check_uneven_effort);
FOCI_CHECK(foci_check_few_stops);
FOCI_CHECK(foci_check_raters);
FOCI_CHECK(foci_check_days_apart);
FOCI_CHECK(foci_check_all_zero);
FOCI_CHECK(foci_check_all_equal);
FOCI_CHECK(foci_check_mostly_zero);
FOCI_CHECK(foci_check_one_stop_dominates);

#endif

/* The reasons for leaving a stop out: what the checks say of it, and the remedy. */
#ifndef FOCI_DATA_REASONS_H
#define FOCI_DATA_REASONS_H

/* Why a stop is left out, and what a user can do about it. */
typedef struct {
    const char *why;    /* of one stop: "lies outside the field"; foci_stop.why points here */
    const char *why_of; /* of several: "lie outside the field" */
    const char *remedy;
} foci_reason;

typedef enum {
    FOCI_REASON_NO_PLACE,
    FOCI_REASON_SWAPPED,
    FOCI_REASON_MINUTES,
    FOCI_REASON_LONGITUDE_SIGN,
    FOCI_REASON_LATITUDE_SIGN,
    FOCI_REASON_NO_FIX,
    FOCI_REASON_NO_SUCH_PLACE,
    FOCI_REASON_OUTSIDE,
    FOCI_REASON_NO_CLASS,
    FOCI_REASON_BLANK,
    FOCI_REASON_TEXT,
    FOCI_REASON_DECIMAL_COMMA,
    FOCI_REASON_NOT_FINITE,
    FOCI_REASON_NEGATIVE,
    FOCI_REASON_BELOW_LEAST,
    FOCI_REASON_ABOVE_MOST,
    FOCI_REASON_NONE_CHECKED,
    FOCI_REASON_TOO_MANY_CHECKED,
    FOCI_REASON_PART_OF_A_UNIT,
    FOCI_REASON_HITS_ABOVE_CHECKED,
    FOCI_REASON_POOLED,
    FOCI_REASON_END
} foci_reason_kind;

extern const foci_reason foci_reasons[FOCI_REASON_END];

#endif

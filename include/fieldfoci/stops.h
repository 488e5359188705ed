/* Scouting stops: what was found, where, when, and which stops can be used. */
#ifndef FIELDFOCI_STOPS_H
#define FIELDFOCI_STOPS_H

#include "fieldfoci/dates.h"
#include "fieldfoci/geometry.h"
#include "fieldfoci/notes.h"
#include "fieldfoci/ordinal.h"
#include "fieldfoci/rating.h"

typedef enum {
    FOCI_READING_VALUE, /* a severity score */
    FOCI_READING_COUNT  /* infected units of units looked at; the value is 100 hits / checked, in percent */
} foci_reading_kind;

/* More units than this nobody has looked at for one stop: one each second takes a day and a night for 86,400. */
#define FOCI_CHECKED_MOST 100000.0

/* Fewer used stops than this make no map (common practice, no source). */
enum { FOCI_STOPS_FOR_MAP = 20 };

/* "incidence" for counts (how many of the units are infected), "severity" for scores (how badly). */
FOCI_API const char *foci_reading_word(foci_reading_kind kind);

#define FOCI_NOT_POOLED ((size_t)-1)

typedef struct {
    char *name;          /* from --id, else the row number as text; owned */
    size_t input;        /* index into foci_stops.inputs */
    long row;            /* 1-based row in that input */
    char date[11];       /* YYYY-MM-DD, or "" */
    char *rater;         /* who rated it, from --rater; NULL where that is not said; owned */
    foci_point own;      /* in the input's own system (east, north or longitude, latitude) */
    foci_point lonlat;   /* WGS84, degrees */
    foci_point place;    /* meters in the work system; set by foci_stops_project */
    double hits;         /* infected units; NaN for scores */
    double checked;      /* units looked at; NaN for scores */
    double value;        /* the reading, NaN if blank */
    double score;        /* as written, where it is read by an ordinal scale; NaN otherwise */
    double low, high;    /* what the reading's class begins and ends with, in its unit; NaN where it is no class */
    bool used;           /* enters the estimate */
    size_t pooled_into;  /* index of the stop that carries this one's reading, or FOCI_NOT_POOLED */
    const char *why;     /* why it is not used: text with static life, "" if used */
    char blank_text[32]; /* what stood in the reading's cell where it was no number; "" otherwise */
    char date_text[32];  /* what stood in the date's cell where it was no date; "" otherwise */
} foci_stop;

/* One file of stops, as read. */
typedef struct {
    char *file;      /* as the user named it; owned */
    char *layer;     /* owned */
    char *crs;       /* WKT of its own system; owned */
    char sha256[65]; /* of the file (of all its parts for a shapefile), lower-case hex */
    size_t rows;
    foci_notes notes; /* how it was read, where that was a choice */
} foci_input;

typedef struct {
    foci_reading_kind kind;
    double least, most;        /* what a reading can be, least where nothing is found; both 0: 0 and up */
    const foci_rating *rating; /* as the options or a column `rated` say; NULL: neither does */
    foci_ordinal scale;        /* by which scores were read; its count is 0: by none; owned */
    bool amounts;              /* scores are amounts, whatever they look like: said by {scale-of} none */
    bool index;                /* readings are severity indexes, of plants counted in each of its classes */
    char *unit; /* the profile's; else "percent of units infected" for counts, the column's name for scores; owned */
    size_t input_count;
    foci_input *inputs;
    size_t count;
    foci_stop *items;
} foci_stops;

typedef struct {
    const char *value;            /* column, or NULL */
    const char *hits;             /* column, or NULL */
    const char *checked;          /* column or a number, or NULL; the column of hits for cells like "3 of 10" */
    const char *id;               /* column, or NULL: row number */
    const char *when;             /* column, or NULL */
    const char *rater;            /* column of who rated, or NULL */
    const char *from;             /* YYYY-MM-DD, or NULL */
    const char *to;               /* YYYY-MM-DD, or NULL */
    const char *crs;              /* for inputs that carry no system of their own, or NULL */
    const char *xy;               /* "XCOLUMN,YCOLUMN" of a CSV file, or NULL */
    const foci_date_order *dates; /* of dates that begin with the day or the month; NULL: as they show themselves */
    const char *layer;            /* of files that hold several, or NULL: the only one of points */
    const char *unit;             /* of the readings; NULL: "percent of units infected", or the column's name */
    const foci_rating *rating;    /* how all stops were rated; NULL: as a column `rated` says, if there is one */
    double least, most;           /* what a --value reading can be; both 0: 0 to 100 of a percent unit, else 0 and up */
    const char *scale_of;         /* ordinal scale of a --value column: a name or file, "none"; NULL: none */
    const char *classes;   /* columns of plants in each class of it, "NONE,FEW,MANY": a severity index; or NULL */
    bool scale_by_profile; /* the scale is what a profile expects, not what the user says it is */
    bool percents;         /* scores were made percents of the scale's classes before, as in a survey folder */
} foci_stops_options;

/* Nothing named, everything open: one kind of reading must be named. */
FOCI_API foci_stops_options foci_stops_options_make(void);

/* Reads one or more files of stops (any vector format of the allowed list) into WGS84. Nothing is judged here: blank
 * and impossible readings come through as they are (foci_checks_make decides). Stops outside --from/--to are dropped.
 * A column `rated` is read where there is one; a blank in it says nothing.
 * Errors: FOCI_NO_FILE (missing, not a vector file), FOCI_BAD_INPUT (no points, no such column - the columns are
 * listed -, no reference system, two ratings in one survey), FOCI_BAD_SETTING (neither or both kinds of reading,
 * unknown --crs, bad date). */
FOCI_API bool foci_stops_read(foci_stops *out, const char *const *files, size_t file_count,
                              const foci_stops_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Stops in memory: arrays of `count`, borrowed for the call. */
typedef struct {
    size_t count;
    const foci_point *lonlat;     /* WGS84, degrees */
    const double *hits, *checked; /* counts: infected units of units looked at ... */
    const double *values;         /* ... or scores; NaN: blank */
    const char *const *names;     /* NULL: the row numbers */
    const char *const *dates;     /* YYYY-MM-DD, "" for none; NULL: none */
} foci_stop_arrays;

/* The same of stops in memory; everything is copied. Of the options only unit, limits, scale and
 * rating count.
 * FOCI_BAD_SETTING: neither or both kinds of reading. FOCI_BAD_INPUT, with the row: a date that is none; or there are
 * no stops. */
FOCI_API bool foci_stops_of_arrays(foci_stops *out, const foci_stop_arrays *arrays, const foci_stops_options *options,
                                   foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_stops_free(foci_stops *stops);

/* What readings look like together: least, median, mean, most, how many with nothing found; all NaN for none. */
typedef struct {
    double min, median, mean, max;
    size_t zeros;
} foci_reading_range;

/* The used stops as plain arrays, in the stops' order: what every estimate works on. Made by one of the calls below,
 * which measure them too; owned. */
typedef struct {
    size_t count;
    foci_point *places; /* meters, work system */
    double *values;     /* reading's unit */
    double *hits;       /* infected units, NaN for scores */
    double *checked;    /* units looked at, NaN for scores */
    size_t *stops;      /* index into foci_stops.items; of plain arrays into these */
    double *low, *high; /* between which lies what a class says of it, reading's unit; NULL: readings are as read */
    double none;        /* the reading where nothing was found: 0, or the least a score can be */
    foci_reading_range spread;
    double spacing; /* median distance from a stop to its nearest neighbor, meters; NaN for fewer than two */
} foci_readings;

/* The used stops; pooled stops carry their sum (counts) or mean (scores). FOCI_BAD_INPUT where none is used. */
FOCI_API bool foci_readings_make(foci_readings *out, const foci_stops *stops, foci_error *err) FOCI_MUST_CHECK;

/* Counts from plain arrays, `count` numbers each, copied: hits[i] infected of checked[i] units at places[i] (meters,
 * any plane system; no two alike). FOCI_BAD_INPUT, with the row: a place that is none, hits above checked or below 0,
 * units that are not whole or not 1 to FOCI_CHECKED_MOST, the same place twice; or there are none. */
FOCI_API bool foci_readings_of_counts(foci_readings *out, const foci_point *places, const double *hits,
                                      const double *checked, size_t count, foci_error *err) FOCI_MUST_CHECK;

/* Scores from plain arrays, likewise; `none` is the score where nothing was found. FOCI_BAD_INPUT, with the row: a
 * place or score that is none, a score below `none`, the same place twice; or there are none. */
FOCI_API bool foci_readings_of_scores(foci_readings *out, const foci_point *places, const double *scores, double none,
                                      size_t count, foci_error *err) FOCI_MUST_CHECK;

FOCI_API bool foci_readings_copy(foci_readings *out, const foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;

/* Measures spread and spacing anew, for who changed the arrays. */
FOCI_API bool foci_readings_measure(foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_readings_free(foci_readings *readings);

/* The same of arrays that were put together by hand. */
FOCI_API bool foci_readings_find_range(foci_reading_range *out, const foci_readings *readings,
                                       foci_error *err) FOCI_MUST_CHECK;
FOCI_API bool foci_readings_spacing(double *out, const foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;

#endif

/* The kinds of settings, by their place in the catalog. */
#ifndef FOCI_RUN_KINDS_H
#define FOCI_RUN_KINDS_H

#include "fieldfoci/settings.h"

enum {
    FOCI_KIND_FLAG,    /* bool */
    FOCI_KIND_TEXT,    /* const char *, owned; so the others that are texts */
    FOCI_KIND_SYSTEM,  /* of reference; one from inside a job may name no file */
    FOCI_KIND_FILE,    /* a file or folder */
    FOCI_KIND_PROFILE, /* a built-in disease profile's name, or a file */
    FOCI_KIND_HISTORY, /* a file, or a connection string of a database */
    FOCI_KIND_ORDINAL, /* a built-in ordinal scale's name, none, or a file */
    FOCI_KIND_DATE,    /* text, YYYY-MM-DD */
    FOCI_KIND_NUMBER,  /* double; so the next but one to the rate */
    FOCI_KIND_WHOLE,   /* size_t */
    FOCI_KIND_LENGTH,  /* meters; m, ft, km */
    FOCI_KIND_AREA,    /* hectares; ha, ac, m2 */
    FOCI_KIND_RATE,    /* per hectare; /ha, /ac */
    FOCI_KIND_PLACE,   /* foci_point: longitude, latitude */
    FOCI_KIND_LIMITS,  /* foci_stops_options: least and most; open where they are equal */
    FOCI_KIND_ORDER,   /* int: the choice's index */
    FOCI_KIND_SCALE,   /* foci_surface_options: scale and lambda */
    FOCI_KIND_MODEL,   /* foci_variogram */
    FOCI_KIND_ROW,     /* pointer to the choice's row */
    FOCI_KIND_ROWS,    /* pointers to rows, ended by NULL, with room for every choice; repeats */
    FOCI_KIND_LINES,   /* text: several, one a line; repeats */
    FOCI_KIND_FILES,   /* the same of files or folders */
    FOCI_KIND_END
};

/* FOCI_BAD_SETTING about this setting, as its option is typed; always false. */
bool foci_setting_refuse(const foci_setting *setting, foci_error *err, const char *format, ...) FOCI_PRINTF(3, 4);

/* As few digits as are read back as the same number. */
#define FOCI_KIND_DIGITS 40
void foci_kind_digits(char digits[FOCI_KIND_DIGITS], double number);

/* FOCI_BAD_SETTING for what no text may be: empty, or with what is no letter in it. */
bool foci_kind_check_text(const foci_setting *setting, const char *text, foci_error *err) FOCI_MUST_CHECK;

/* *index: which of the choices the word is. FOCI_BAD_SETTING lists them. */
bool foci_kind_choose(size_t *index, const foci_setting *setting, const char *word, foci_error *err) FOCI_MUST_CHECK;

#endif

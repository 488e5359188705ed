/* All choices: one table gives parser, range, default, help, the `job` part of survey.json and the docs page. */
#ifndef FIELDFOCI_SETTINGS_H
#define FIELDFOCI_SETTINGS_H

#include "fieldfoci/error.h"

/* Which commands take a setting. */
enum {
    FOCI_FOR_MAP = 1,
    FOCI_FOR_CHECK = 2,
    FOCI_FOR_ESTIMATE = 4,
    FOCI_FOR_VARIOGRAM = 8,
    FOCI_FOR_PROFILES = 16,
    FOCI_FOR_PATTERN = 32,
    FOCI_FOR_TASK = 64,
    FOCI_FOR_RECORD = 128,
    FOCI_FOR_HISTORY = 256,
    FOCI_FOR_SEASONS = 512,
};

#define FOCI_SETTINGS_MOST 96

/* Texts are owned, NULL where not given; numbers are NaN where not given and no default stands in the table. */
typedef struct {
    size_t input_count;
    char **inputs; /* what stands on the command line without an option: STOPS, or a profile's name */
    char *field, *field_name, *field_column, *field_layer, *layer;
    char *value, *hits, *checked, *id, *when, *from, *to;
    char *crs, *xy, *work_crs;
    char *disease, *even_so;
    double threshold;
    char *limits;
    char *surface, *variogram, *fit, *scale, *stop_variation, *earlier;
    double row_heading; /* degrees clockwise from true north */
    char *trend;
    double power, neighbours;
    double cell, lag, farthest; /* meters */
    double treat_chance, dig_chance;
    double least_area;               /* hectares; NaN: a share of the squared stop spacing */
    double swath, least_run, margin; /* meters */
    char *lane_through, *gate;       /* "LON,LAT" */
    double cost, loss;               /* per hectare */
    double digs;
    char *season, *title, *paper;
    bool cross_check;
    double treat, dig, leave;                        /* rates in `unit` */
    char *unit, *product, *form, *layout, *standard; /* form: names with commas between them */
    char *at, *out, *job;
    char *history, *crop, *laboratory, *remove;
    char *only; /* seasons, one a line */
    bool replace;
    double threads; /* what the program makes its foci_execution of; the library's calls do not look at it */
    double seed;
    double band; /* meters */
    bool overwrite, json, quiet;
    unsigned command;               /* FOCI_FOR_..., 0 before the words are read */
    bool given[FOCI_SETTINGS_MOST]; /* by row of the table */
} foci_settings;

typedef enum {
    FOCI_SETTING_FLAG,
    FOCI_SETTING_TEXT,
    FOCI_SETTING_CRS, /* a reference system; one from inside a job may name no file */
    FOCI_SETTING_FILE,
    FOCI_SETTING_PROFILE, /* a built-in disease profile's name, or a file */
    FOCI_SETTING_DATE,
    FOCI_SETTING_NUMBER,
    FOCI_SETTING_WHOLE,
    FOCI_SETTING_LENGTH,   /* meters; m, ft, km */
    FOCI_SETTING_AREA,     /* hectares; ha, ac, m2 */
    FOCI_SETTING_PER_AREA, /* per hectare; /ha, /ac */
    FOCI_SETTING_CHOICE,
    FOCI_SETTING_TEXTS,  /* several: repeated; kept as one text with a line for each */
    FOCI_SETTING_CHOICES /* several: repeated, or with commas between them; kept as one text with commas */
} foci_setting_kind;

typedef struct {
    const char *name;    /* without the hyphens */
    const char *metavar; /* "M", "COLUMN"; NULL for a flag */
    foci_setting_kind kind;
    size_t where;         /* offset in foci_settings */
    const char *standard; /* the default as a user would write it, or NULL */
    double least, most;   /* of a number; least itself is not allowed where `above` */
    bool above;
    const char *const *choices; /* ended by NULL; for FOCI_SETTING_CHOICE */
    unsigned commands;          /* FOCI_FOR_... */
    bool in_job;                /* changes the result: goes into survey.json */
    const char *help;           /* one line: what it means; what holds if it is left out */
} foci_setting;

/* Ends with a row of zeros. */
FOCI_API extern const foci_setting foci_setting_table[];

/* Every setting at its default. */
FOCI_API bool foci_settings_make(foci_settings *out, foci_error *err) FOCI_MUST_CHECK;

FOCI_API bool foci_settings_copy(foci_settings *out, const foci_settings *settings, foci_error *err) FOCI_MUST_CHECK;

/* One more of what stands on the command line without an option. */
FOCI_API bool foci_settings_add_input(foci_settings *settings, const char *word, foci_error *err) FOCI_MUST_CHECK;

/* Sets one by its text, as typed. FOCI_BAD_SETTING says what is wrong; `command` 0: any command's. */
FOCI_API bool foci_settings_set(foci_settings *settings, const char *name, const char *text, unsigned command,
                                foci_error *err) FOCI_MUST_CHECK;

/* The row of this name that the command takes, or NULL; `command` 0: any. */
FOCI_API const foci_setting *foci_setting_find(const char *name, unsigned command);

/* Whether the setting of this name was stated, on the command line or in a job. */
FOCI_API bool foci_settings_is_given(const foci_settings *settings, const char *name);

/* Reads what stands after the command: options in any order, "--name VALUE" or "--name=VALUE", "--" ends them. An
 * unknown option is refused, with the nearest one suggested. `settings->job` is read last: what stands on the command
 * line wins. */
FOCI_API bool foci_settings_parse(foci_settings *settings, unsigned command, int count, const char *const *words,
                                  foci_error *err) FOCI_MUST_CHECK;

/* The word of the list (ended by NULL) that was probably meant, or NULL. */
FOCI_API const char *foci_settings_nearest(const char *word, const char *const *words);

FOCI_API void foci_settings_free(foci_settings *settings);

#endif

/* All choices: one table gives parser, range, default, help, the `job` part of survey.json and the docs page. */
#ifndef FIELDFOCI_SETTINGS_H
#define FIELDFOCI_SETTINGS_H

#include "fieldfoci/history.h"
#include "fieldfoci/plan.h"
#include "fieldfoci/survey.h"
#include "fieldfoci/task.h"

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
    FOCI_FOR_PLAN = 1024,
    FOCI_FOR_DESK = 2048,
    FOCI_FOR_LOOK = 4096,
};

#define FOCI_SETTINGS_MOST 96

/* The steps' options side by side, and what the program itself goes by. Texts are owned, NULL where not given. Const
 * from the moment that the words are read: what a step settles stands in the survey that it makes. */
typedef struct {
    size_t input_count;
    char **inputs; /* what stands on the command line without an option: STOPS, surveys, a profile's name */
    foci_survey_options survey; /* `field.name` and `even_so` are those of seasons, history and task too;
                                   boundary, reading, disease, gate, labels and seed those of a plan */
    foci_task_options task;     /* its `survey` and `even_so` are filled by the command */
    foci_history_options record;
    foci_plan_options plan;
    const char *history;
    const char *remove; /* a season of the history */
    const char *only;   /* seasons, one a line */
    const char *at, *out, *job;
    size_t port; /* of the desk; FOCI_OPEN: any that is free */
    bool no_browser;
    size_t threads; /* what the program makes its foci_execution of; FOCI_OPEN: all */
    bool overwrite, json, quiet, progress;
    bool given[FOCI_SETTINGS_MOST]; /* by row of the table */
} foci_settings;

typedef struct foci_setting foci_setting;

/* A kind of value: what it is kept as, how it is read and written. `place` is where the value stands. */
typedef struct {
    const char *name; /* "length" */
    bool is_flag;     /* takes no text */
    bool is_file;     /* a name of a file can be meant: completion offers them */
    /* What the text says; FOCI_BAD_SETTING, with what would do. A kind that repeats adds to what is there. */
    bool (*parse)(void *place, const foci_setting *setting, const char *text, foci_error *err);
    /* A text that parse reads as this value, owned by the caller; NULL where it is open. */
    bool (*print)(char **out, const void *place, const foci_setting *setting, foci_error *err);
    void (*free)(void *place);                                           /* NULL: it owns nothing */
    double (*as_number)(const void *place, const foci_setting *setting); /* NaN: open; NULL: it is no number */
    bool (*names_file)(const char *text); /* this one names a file by where it lies; NULL: none does */
} foci_kind;

/* The catalog of kinds: flag, text, system (of reference), file, profile, history, ordinal (scale), date, number,
 * whole, length, area, rate (per area), place, limits, order, scale, model, row, rows, lines, files. Ends with a row of
 * zeros.
 */
FOCI_API extern const foci_kind foci_kinds[];

/* The rows of a catalog, each of which begins with its name; the last is all zeros. */
typedef struct {
    const void *rows; /* NULL: none */
    size_t size;      /* of one */
} foci_setting_choices;

struct foci_setting {
    const char *name;    /* without the hyphens */
    const char *metavar; /* "M", "COLUMN"; NULL for a flag */
    const foci_kind *kind;
    size_t where; /* offset in foci_settings */
    const char
        *standard;      /* the default as a user would write it, or NULL; foci_settings_make goes by the options' own */
    double least, most; /* of a number; least itself is not allowed where `above`, and is then the open value */
    bool above;
    foci_setting_choices choices; /* what it can be one of */
    unsigned commands;            /* FOCI_FOR_... */
    bool in_job;                  /* changes the result: goes into survey.json; such a one stands in `survey` */
    const char *help;             /* one line: what it means; what holds if it is left out */
};

/* The name of a setting's `index`-th choice; NULL after the last, and where it has none. */
FOCI_API const char *foci_setting_choice(const foci_setting *setting, size_t index);

/* Ends with a row of zeros. */
FOCI_API extern const foci_setting foci_setting_table[];

/* Every setting at its default. */
FOCI_API foci_settings foci_settings_make(void);

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

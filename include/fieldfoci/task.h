/* Task files for a sprayer's controller: a survey's zones with the rates that the user gives. The program never
 * proposes a product or a rate. */
#ifndef FIELDFOCI_TASK_H
#define FIELDFOCI_TASK_H

#include "fieldfoci/survey.h"

/* ---- what comes in kinds; each table ends with a row of zeros ---- */

/* What a rate is a rate of, as ISO 11783-10 and -11 write it. */
typedef struct {
    const char *ddi;   /* data dictionary identifier of its setpoint, four hexadecimal digits */
    double steps;      /* steps of the file's whole number in one L/ha or kg/ha */
    const char *unit;  /* "l/ha" */
    const char *scale; /* 1 / steps, as text */
} foci_task_quantity;

typedef struct {
    const char *name;                   /* "gal/ac" */
    const char *amount, *ground;        /* "gal", "ac" */
    double amount_metric;               /* L or kg in one of `amount` */
    double hectares;                    /* in one of `ground` */
    const foci_task_quantity *quantity; /* volume or mass per area */
} foci_task_unit;

FOCI_API extern const foci_task_unit foci_task_unit_table[];

/* L/ha or kg/ha of one `unit`. */
FOCI_API double foci_task_unit_metric(const foci_task_unit *unit);

/* The file's whole number for a rate, to the nearest step. FOCI_BAD_SETTING (about `option`, as "{dig}") where the rate
 * is negative, no number, above what the file holds, or above 0 and less than half a step. */
FOCI_API bool foci_task_unit_steps(long *steps, const foci_task_unit *unit, double rate, const char *option,
                                   foci_error *err) FOCI_MUST_CHECK;

/* Cells of equal size in degrees; codes from the south-west, eastwards, then northwards. */
typedef struct {
    double south, west;           /* corner of the first cell, degrees, 9 decimals */
    double north_step, east_step; /* size of a cell, degrees */
    double cell;                  /* and its side at the middle latitude, meters */
    size_t columns, rows;
    unsigned char *codes; /* 0 outside the field, else FOCI_TASK_CODE of the zone; owned */
} foci_task_grid;

#define FOCI_TASK_OUTSIDE 0
#define FOCI_TASK_CODE(zone) ((int)(zone) + 1)

/* The name of anything in task data has at most 32 characters. */
enum { FOCI_TASK_NAME_MOST = 32, FOCI_TASK_NAME_SIZE = 4 * FOCI_TASK_NAME_MOST + 1 };

typedef struct {
    foci_zone_code code;
    double rate;              /* in the task's unit */
    long steps;               /* the same in the file's steps */
    double area_ha;           /* geodesic, of its outline; 0 where the zone is absent */
    double grid_ha;           /* of its cells; NaN without a grid */
    foci_multipolygon lonlat; /* WGS84, 9 decimals */
} foci_task_zone;

typedef struct foci_task_form foci_task_form;
typedef struct foci_task_layout foci_task_layout;
typedef struct foci_task_standard foci_task_standard;

typedef struct {
    char field[FOCI_TASK_NAME_SIZE], product[FOCI_TASK_NAME_SIZE];
    char reason[FOCI_TASK_NAME_SIZE];    /* the last of `even_so`, "" where there is none */
    char *season, *made, *disease;       /* of the survey; "" where it does not say; owned */
    foci_multipolygon boundary;          /* of the field, WGS84, 9 decimals */
    double area_ha;                      /* of it */
    foci_measures measures;              /* the survey's: which lead in README.txt */
    foci_task_zone zones[FOCI_ZONE_END]; /* by code */
    const foci_task_unit *unit;
    const foci_task_form **forms; /* ended by NULL; the array is owned */
    const foci_task_layout *layout;
    const foci_task_standard *standard;
    foci_task_grid grid;     /* codes NULL without one */
    foci_sentences notes;    /* what was cut, and what is unusual */
    foci_sentences cautions; /* the survey's ... */
    foci_sentences warnings; /* ... and what it says of how far to trust it */
    foci_sentences even_so;  /* reasons given for going on past a guard, the survey's first */
} foci_task;

/* "15 L/ha on 0.7 acres (0.3 ha): about 4.5 L", or that there is no such zone: one rounding wherever it is said. */
#define FOCI_TASK_ZONE_TEXT 160
FOCI_API void foci_task_zone_text(char text[FOCI_TASK_ZONE_TEXT], const foci_task_zone *zone,
                                  const foci_task_unit *unit, foci_measures first);

/* A kind of file. */
struct foci_task_form {
    const char *name, *title;
    bool standard;            /* written where the user names none */
    const char *const *files; /* what it writes into the folder; ended by NULL */
    bool (*write)(const foci_task *task, const char *folder, foci_error *err);
};
FOCI_API extern const foci_task_form foci_task_form_table[];
enum { FOCI_TASK_FORMS_MOST = 7 };

/* How task data hold the zones. */
struct foci_xml;
struct foci_task_layout {
    const char *name, *title;
    bool gridded;
    /* the zones into the task's element, with what belongs beside the XML file into `folder` */
    bool (*put)(struct foci_xml *element, const foci_task *task, const char *folder, foci_error *err);
};
FOCI_API extern const foci_task_layout foci_task_layout_table[];

/* A version of ISO 11783-10. */
struct foci_task_standard {
    const char *name, *title;
    bool single_parts; /* a polygon has one outer ring; else all parts of a zone are one polygon */
};
FOCI_API extern const foci_task_standard foci_task_standard_table[];

/* ---- the task ---- */

typedef struct {
    const char *survey;       /* a survey folder */
    double treat, dig, leave; /* rates in `unit`; treat above 0, the others 0 and up */
    const foci_task_unit *unit;
    const char *product; /* what the label calls it; shown on the controller */
    const foci_task_form
        *forms[FOCI_TASK_FORMS_MOST + 1]; /* rows of the table, ended by NULL; none: the standard ones */
    const foci_task_layout *layout;       /* NULL: the table's first */
    const foci_task_standard *standard;   /* NULL: the table's first */
    const char *even_so;                  /* reason for going on past a guard, or NULL */
} foci_task_options;

/* No rates, and all files as where nothing is said; survey, `treat`, `unit` and `product` are the caller's to state. */
FOCI_API foci_task_options foci_task_options_make(void);

/* Reads a survey's zones and gives them rates. FOCI_BAD_SETTING: an option is missing or out of range.
 * FOCI_BAD_INPUT: the folder is no survey or has no zones; or, where `even_so` is not given: the disease needs a
 * laboratory's word first, it is too late for this season, the stops cannot tell whether there is a pattern, or nothing
 * tells how sure the zones are. */
FOCI_API bool foci_task_make(foci_task *out, const foci_task_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Writes the folder, whole or not at all: the forms' files and README.txt; where its name ends in .zip, one archive of
 * them. With `overwrite` only a folder of task files
 * is replaced; files of others in it are kept, and where others have put theirs into its TASKDATA it is refused. */
FOCI_API bool foci_task_write(const foci_task *task, const char *folder, bool overwrite,
                              foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_task_free(foci_task *task);

#endif

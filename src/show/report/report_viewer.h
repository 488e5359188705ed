/* The map of a report: grounds to choose from, shapes over them, values to be read off. It is drawn once and complete
 * without a script; where scripts run, src/show/page/viewer.js takes it and moves it. */
#ifndef FOCI_SHOW_REPORT_VIEWER_H
#define FOCI_SHOW_REPORT_VIEWER_H

#include "show/draw/html.h"
#include "show/map/map_field.h"

/* What lies under the shapes, one at a time: the first one at first. `what` is the viewer's. */
typedef struct {
    const char *key; /* letters and digits */
    const char *title;
    size_t which; /* whatever the two functions take it for */
    bool (*draw)(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which, foci_error *err);
    void (*legend)(foci_html *html, const void *what,
                   size_t which); /* <li> for each class; NULL: as the first ground */
    const char *under;            /* key of the shapes that stand on it in its own figure; NULL: none */
    bool photo;                   /* has more colors than a drawing */
} foci_report_ground;

/* Shapes over the ground. */
typedef struct {
    const char *key;
    const char *title;
    size_t which;
    bool on; /* at first */
    void (*draw)(foci_html *html, const foci_map_view *view, const void *what, size_t which);
    void (*legend)(foci_html *html,
                   const void *what); /* <li> for each kind; NULL: the shapes have no figure of their own */
} foci_report_shapes;

typedef enum {
    FOCI_REPORT_READING, /* three digits and the suffix */
    FOCI_REPORT_CHANCE,  /* from 0 to 1, in percent */
    FOCI_REPORT_COUNT,   /* one decimal */
    FOCI_REPORT_NAME     /* of a number from 0 on */
} foci_report_value_kind;

/* A number that is read under the pointer, with what stands before and after it. The first one says where the field is:
 * it has no value outside. */
typedef struct {
    foci_report_value_kind kind;
    const double *values; /* by cell; NaN: none */
    const int *codes;     /* of names, in the place of values; -1: none */
    const char *before, *after;
    const char *ground; /* key of the ground with which alone it is read; NULL: with all */
} foci_report_value;

typedef struct {
    const char *described; /* what the map shows, in words: the finding */
    const foci_multipolygon *field;
    const foci_grid *grid;
    const char *work_crs;
    const void *what;
    const foci_report_ground *grounds;
    size_t ground_count;
    const foci_report_shapes *shapes;
    size_t shapes_count;
    const foci_report_value *values;
    size_t value_count;
    const char *suffix;       /* of readings */
    const char *const *names; /* ended by NULL, or NULL */
    const char *bare;         /* the caption where there is no ground */
    const char *key;          /* what the symbols mean; comes right under the map */
} foci_report_viewer;

/* Switches, map, legend, key, and then as figures of their own what is not on the map at first. */
void foci_report_viewer_add(foci_html *html, const foci_report_viewer *viewer);

/* One class of a legend. */
void foci_report_swatch(foci_html *html, uint32_t color, const char *words);

/* ---- shapes, as SVG in the view's pixels ---- */

/* Corners of the path are cut by `cut` metres. */
void foci_report_svg_path(foci_html *html, const foci_map_view *view, const foci_multipolygon *shape, double cut);

/* A numbered outline that says `words` when it is pointed at. */
void foci_report_svg_outline(foci_html *html, const foci_map_view *view, const foci_multipolygon *shape, double cell,
                             int number, const char *words);

/* A number with a white rim; `up`: pixels above the place. */
void foci_report_svg_number(foci_html *html, foci_point at, double up, int number);

/* The stops that are used, full where they are at the threshold or above; with their names and readings, unless there
 * are more than `named_most`. */
void foci_report_stops_svg(foci_html *html, const foci_map_view *view, const foci_survey *round, size_t named_most);

/* The page's own text, printed into the page. */
void foci_report_add(foci_html *html, const char *format, ...) FOCI_PRINTF(2, 3);

/* ---- between the parts of the viewer ---- */

/* Attributes that tell the script the values under the pointer and the words to say them in. */
void foci_report_values(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer);

#endif

/* The field as a picture: the coloured layer, the boundary, hotspots, stops. */
#ifndef FOCI_SHOW_MAP_FIELD_H
#define FOCI_SHOW_MAP_FIELD_H

#include "show/draw/canvas.h"
#include "show/map/map_legends.h"
#include "show/map/map_view.h"

/* Ground of one colour, `meshed`: under the hatching of ground that no stop speaks for. */
typedef struct {
    uint32_t colour;
    bool meshed;
} foci_map_even_ground;

/* What colour the ground has at a place, which is drawn at `pixel`; false where it has none. `even`: whether it surely
 * has one colour for `reach` metres on every side of a place; saves asking for each sample of it. */
typedef struct {
    bool (*at)(uint32_t *colour, const void *what, foci_point place, foci_point pixel);
    bool (*even)(foci_map_even_ground *ground, const void *what, foci_point place, double reach);
    const void *what;
} foci_map_paint;

#define FOCI_MAP_BARE 0xFFFFFF /* ground without a colour */

/* Cells of a grid, `right` and `bottom` being the first behind them. `corner`: four cells that meet, or those of the
 * four that are on the grid. `cut`: some would be off the grid. */
typedef struct {
    size_t left, top, right, bottom;
    bool corner, cut;
} foci_map_block;

/* The cells between whose centres all the ground lies from `reach` metres south and west of a place to `far` metres
 * north and east of it; false where they are many. */
bool foci_map_block_find(foci_map_block *out, const foci_grid *grid, foci_point place, double reach, double far);

/* The ground, clipped to the field (metres), and the boundary. */
bool foci_map_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                          const foci_map_paint *paint, foci_error *err) FOCI_MUST_CHECK;

#define FOCI_MESH 17.0     /* from line to line of the hatching of unspoken ground, pixels */
#define FOCI_MESH_LINE 1.7 /* width of such a line */

/* The hatching of ground that no stop speaks for, laid over the colour `ground` at a pixel of the sheet: dark lines
 * both ways with white edges, to be seen on any colour and on a gray copy. */
uint32_t foci_map_mesh_at(uint32_t ground, double x, double y);

/* The one value that all of the legend's ground is drawn as: where all readings are equal the map has one colour,
 * whatever the last digits of the estimate are. NaN: each place has its own. */
double foci_map_even(const foci_survey *round, const foci_map_legend *legend);

/* Adds all rings of a shape (metres) to the path. */
bool foci_map_shape_add(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape,
                        foci_error *err) FOCI_MUST_CHECK;

/* The boundary alone. */
bool foci_map_boundary_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                            foci_error *err) FOCI_MUST_CHECK;

/* A layer in the colours of its legend; everything is borrowed. */
typedef struct {
    const foci_grid *grid;
    const double *values; /* NULL: the boundary alone is drawn */
    const foci_map_legend *legend;
    const double *edges;
    double level;            /* a thin line is drawn where the layer crosses it; NaN: none */
    double even;             /* what all of the ground is drawn as; NaN: its own value */
    const foci_photo *photo; /* seen through it; NULL: none */
    const bool *unspoken;    /* cells that no stop speaks for; NULL: none */
} foci_map_layer;

bool foci_map_layer_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                         const foci_map_layer *layer, foci_error *err) FOCI_MUST_CHECK;

/* The legend's layer as the ground; white ground where the round has no such layer. */
bool foci_map_field_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                         const foci_map_legend *legend, const double *edges, foci_error *err) FOCI_MUST_CHECK;

/* The same, with a thin line where the layer crosses `level`. */
bool foci_map_level_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                         const foci_map_legend *legend, const double *edges, double level,
                         foci_error *err) FOCI_MUST_CHECK;

/* A corner cut by `cut` metres on either side, half a side at most: the steps of the cells become slopes through the
 * middles of their sides. */
void foci_map_corner_cut(foci_point out[2], const foci_ring *ring, size_t corner, double cut);

/* The outline of a shape made of cells with this side (metres), `width` pixels, thinner round a small one. */
bool foci_map_outline_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape, double cell,
                           double width, foci_error *err) FOCI_MUST_CHECK;

/* The outlines of the hotspots, `width` pixels, thinner round small ones. */
bool foci_map_hotspots_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, double width,
                            foci_error *err) FOCI_MUST_CHECK;

#endif

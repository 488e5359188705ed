#include "fieldfoci/map.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"
#include "data/projection.h"
#include "show/map_room.h"
#include "show/map_side.h"
#include "show/map_symbols.h"
#include "show/map_words.h"
#include "show/sheet.h"

#define INK FOCI_SHEET_INK
#define PALE 0x444444
#define WIDTH FOCI_SHEET_WIDTH
#define HEIGHT FOCI_SHEET_HEIGHT
#define MARGIN FOCI_SHEET_MARGIN
#define SIDE 480.0       /* width of the column beside the map */
#define SIDE_LEAST 768.0 /* height that column needs */
#define GUTTER 40.0      /* between columns */
#define UNDER 116.0      /* height of the strip below the map: key of the stops, scale, north */
#define SCALE 300.0      /* most of the bars' length */
#define DIGS_KEY 460.0   /* from the strip's left end to the key of the dig-checks, right of the scale */
#define NORTH 90.0       /* kept free for the arrow at its right end */
#define PRINT_MOST 232.0
#define FIRST_CAUTIONS 5 /* these come before more warnings */

/* The sentences on the sheet; all owned. */
typedef struct {
    char *finding, *facts, *made, *even_so, *caution;
} sheet_words;

static void free_words(sheet_words *words) {
    free(words->finding);
    free(words->facts);
    free(words->made);
    free(words->even_so);
    free(words->caution);
    *words = (sheet_words){0};
}

static bool find_words(sheet_words *words, const foci_round *round, foci_error *err) {
    return (words->finding = foci_words_finding(round, err)) && (words->facts = foci_words_facts(round, err)) &&
           (words->made = foci_words_made(round, err)) && (words->even_so = foci_words_even_so(round, err)) &&
           (words->caution = foci_words_caution(round, err));
}

/* ---- the head ---- */

static double head_draw(foci_canvas *canvas, const foci_round *round, const sheet_words *words) {
    const double width = WIDTH - 2 * MARGIN;
    const foci_lettering second = {.size = 30, .bold = true, .colour = PALE, .width = width, .lines = 2};
    const foci_lettering facts = {.size = 23, .colour = INK, .width = width, .lines = 2};
    const bool titled = round->title && *round->title;
    double y = 26;
    y += foci_sheet_headline_draw(canvas, y, titled ? round->title : words->finding) + 2;
    if (titled)
        y += foci_canvas_text(canvas, MARGIN, y, &second, words->finding) + 2;
    y += foci_canvas_text(canvas, MARGIN, y + 2, &facts, words->facts) + 12;
    foci_sheet_rule_draw(canvas, y);
    return y + 16;
}

/* What must be known before anyone acts comes first, what can be spared last. */
static void gather_print(foci_small_print *print, foci_canvas *canvas, const foci_round *round,
                         const sheet_words *words) {
    const bool own = round->cautions.count == 0;
    foci_small_print_add(print, canvas, own ? words->caution : round->cautions.items[0], 20, true);
    foci_small_print_add(print, canvas, words->even_so, FOCI_PRINT_SIZE, true);
    foci_small_print_add_all(print, canvas, &round->warnings, 0, 1, true);
    foci_small_print_add(print, canvas, words->made, FOCI_PRINT_SIZE, false);
    foci_small_print_add_all(print, canvas, &round->cautions, 1, FIRST_CAUTIONS - 1, false);
    foci_small_print_add_all(print, canvas, &round->warnings, 1, 2, true);
    foci_small_print_add_all(print, canvas, &round->cautions, FIRST_CAUTIONS, FOCI_PARAGRAPHS_MOST, false);
}

/* ---- the map ---- */

/* The dig-checks, then the hotspots' numbers, which are on top. */
static bool labels_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round, foci_box frame,
                        foci_error *err) {
    foci_map_room room = {.frame = frame};
    const bool ok = foci_map_room_take_stops(&room, view, &round->readings, err) &&
                    foci_map_digs_draw(canvas, view, &round->digs, &room, err) &&
                    foci_map_numbers_draw(canvas, view, &round->hotspots, &room, err);
    foci_map_room_free(&room);
    return ok;
}

static bool field_draw(foci_canvas *canvas, const foci_round *round, const double *edges, foci_box frame,
                       foci_error *err) {
    const double width = frame.east - frame.west;
    const foci_map_view view =
        foci_map_view_fit(&round->field.shape, frame.west, frame.north, width, frame.south - frame.north - UNDER, 8);
    const foci_box map = {frame.west, frame.south - UNDER, frame.east, frame.north};
    double turn = 0;
    if (!foci_meridian_convergence(&turn, round->field.work_crs, round->field.centre, err))
        return false;
    if (!foci_map_field_draw(canvas, &view, round, &foci_map_legends[FOCI_LEGEND_SEVERITY], edges, err) ||
        !foci_map_hotspots_draw(canvas, &view, round, FOCI_HOTSPOT_LINE, err))
        return false;
    foci_map_stops_draw(canvas, &view, round, edges, map);
    if (!labels_draw(canvas, &view, round, map, err))
        return false;
    foci_map_key_draw(canvas, frame.west, map.south + 10, width, round, edges);
    foci_map_scale_draw(canvas, frame.west, frame.south - 46, SCALE, view.scale);
    foci_map_digs_key_draw(canvas, frame.west + DIGS_KEY, frame.south - 53, width - DIGS_KEY - NORTH, &round->digs);
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 20}, 20, -turn);
    return true;
}

typedef struct {
    const foci_round *round;
    sheet_words words;
} map_sheet;

static bool sheet_draw(foci_canvas *canvas, const void *what, foci_error *err) {
    const map_sheet *sheet = what;
    const foci_round *round = sheet->round;
    const sheet_words *words = &sheet->words;
    double edges[FOCI_LEGEND_MOST];
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    const double top = head_draw(canvas, round, words);
    const double most = fmin(PRINT_MOST, HEIGHT - 46 - top - SIDE_LEAST);
    foci_small_print print = {0};
    gather_print(&print, canvas, round, words);
    const double bottom = foci_small_print_draw(canvas, &print, most) - 14;
    const foci_box map = {MARGIN, bottom, WIDTH - MARGIN - SIDE - GUTTER, top};
    const foci_box side = {WIDTH - MARGIN - SIDE, bottom, WIDTH - MARGIN, top};
    return field_draw(canvas, round, edges, map, err) && foci_map_side_draw(canvas, round, edges, side, err);
}

static bool write_sheet(const foci_round *round, const char *path,
                        bool (*write)(const foci_sheet *sheet, const char *path, foci_error *err), foci_error *err) {
    map_sheet map = {.round = round};
    foci_text described = {0};
    bool ok = false;
    if (!find_words(&map.words, round, err) ||
        !foci_text_add(&described, err, "Map of disease severity. %s. %s. %s %s", map.words.finding, map.words.facts,
                       map.words.made, map.words.caution))
        goto done;
    const foci_sheet sheet = {round->title && *round->title ? round->title : map.words.finding,
                              described.text,
                              round->made,
                              round->paper,
                              sheet_draw,
                              &map};
    ok = write(&sheet, path, err);
done:
    foci_text_free(&described);
    free_words(&map.words);
    return ok;
}

bool foci_map_write_png(const foci_round *round, const char *path, foci_error *err) {
    return write_sheet(round, path, foci_sheet_write_png, err);
}

bool foci_map_write_pdf(const foci_round *round, const char *path, foci_error *err) {
    return write_sheet(round, path, foci_sheet_write_pdf, err);
}

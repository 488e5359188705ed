/* The field sheet: a page with the walk, pages to write on, a page to know the disease by. */
#include "show/plan/plan_sheet.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/words.h"
#include "show/draw/sheet.h"
#include "show/plan/plan_files.h"

#define INK FOCI_SHEET_INK
#define WIDTH FOCI_SHEET_WIDTH
#define MARGIN FOCI_SHEET_MARGIN
#define SIDE 560.0 /* width of the column beside the map */
#define GUTTER 36.0
#define LOW 0.5       /* of the height, for a map above the words ... */
#define WORTH_IT 1.15 /* ... which must be so much larger there */
#define BODY_LEAST 520.0
#define PAGE_LEAST 1010.0

typedef struct {
    const foci_plan *plan;
    char *title, *place, *write_title;
    foci_plan_words how, signs;
    size_t pages;
    struct page {
        const foci_plan *plan;
        const char *title, *place;
        size_t first;
    } * each;
} field_sheet;

static void free_sheet(field_sheet *sheet) {
    free(sheet->title);
    free(sheet->place);
    free(sheet->write_title);
    free(sheet->each);
    foci_plan_words_free(&sheet->how);
    foci_plan_words_free(&sheet->signs);
}

static bool find_words(field_sheet *sheet, const foci_plan *plan, foci_error *err) {
    char area[FOCI_WORDS_SIZE], walk[FOCI_WORDS_SIZE];
    foci_text place = {0};
    const char *standard = plan->of_digs ? "Where to dig and look" : "Where to scout";
    foci_words_area(area, plan->field.area_ha, foci_paper_measures(plan->paper));
    foci_words_length(walk, plan->layout.walk, foci_paper_measures(plan->paper));
    sheet->title = foci_copy_text(*plan->title ? plan->title : standard, err);
    sheet->write_title = foci_copy_text("What was found", err);
    bool ok = sheet->title && sheet->write_title &&
              (!*plan->field.name ||
               (foci_text_add_name(&place, plan->field.name, err) && foci_text_add(&place, err, ", "))) &&
              foci_text_add(&place, err, "%s. %s%s%s%s%zu %s, a walk of %s.", area,
                            plan->has_profile ? plan->profile.title : "", plan->has_profile ? ". " : "", plan->season,
                            *plan->season ? ": " : "", plan->layout.count,
                            plan->of_digs             ? "dig-checks"
                            : plan->layout.count == 1 ? "stop"
                                                      : "stops",
                            walk) &&
              foci_plan_words_how(&sheet->how, plan, err) && foci_plan_words_signs(&sheet->signs, plan, err);
    sheet->place = place.text;
    return ok;
}

/* ---- heads ---- */

static double head_of(foci_canvas *canvas, const char *title, const char *place, const char *right) {
    const foci_lettering large = {
        .size = 36, .bold = true, .heading = true, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
    const foci_lettering plain = {.size = 22, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
    const foci_lettering filled = {.size = 22, .colour = INK, .align = FOCI_ALIGN_RIGHT};
    double y = 24;
    foci_canvas_text(canvas, WIDTH - MARGIN, y + 12, &filled, right);
    y += foci_canvas_text(canvas, MARGIN, y, &large, title) + 2;
    y += foci_canvas_text(canvas, MARGIN, y, &plain, place) + 10;
    foci_sheet_rule_draw(canvas, y);
    return y + 14;
}

static double first_head(foci_canvas *canvas, const void *what) {
    const field_sheet *sheet = what;
    return head_of(canvas, sheet->title, sheet->place, "");
}

static double page_head(foci_canvas *canvas, const void *what) {
    const struct page *page = what;
    return head_of(canvas, page->title, page->place, "date ______________   who ____________________");
}

static double signs_head(foci_canvas *canvas, const void *what) {
    const field_sheet *sheet = what;
    const foci_plan *plan = sheet->plan;
    return head_of(canvas, plan->has_profile ? plan->profile.title : "Samples for a clinic",
                   plan->has_profile ? plan->profile.cause : sheet->place, "");
}

/* ---- bodies ---- */

/* A long field lies above the words where it is drawn larger so. */
static bool first_body(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    const field_sheet *sheet = what;
    const double width = frame.east - frame.west, height = frame.south - frame.north;
    foci_box map = frame, side = frame;
    if (foci_plan_map_scale(sheet->plan, width, LOW * height) >
        WORTH_IT * foci_plan_map_scale(sheet->plan, width - SIDE - GUTTER, height)) {
        map.south = frame.north + LOW * height;
        side.north = map.south + GUTTER / 2;
        foci_plan_words_draw(canvas, &sheet->how, 2, side);
        return foci_plan_map_draw(canvas, sheet->plan, map, err);
    }
    map.east -= SIDE + GUTTER;
    side.west = frame.east - SIDE;
    foci_plan_words_draw(canvas, &sheet->how, 1, side);
    return foci_plan_map_draw(canvas, sheet->plan, map, err);
}

static bool page_body(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    const struct page *page = what;
    (void)err;
    foci_plan_page_draw(canvas, page->plan, page->first, frame);
    return true;
}

static bool signs_body(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    (void)err;
    foci_plan_words_draw(canvas, &((const field_sheet *)what)->signs, 2, frame);
    return true;
}

/* ---- the whole ---- */

static bool make_pages(field_sheet *sheet, foci_error *err) {
    const foci_plan *plan = sheet->plan;
    const size_t each = foci_plan_page_stops(plan);
    sheet->pages = (plan->layout.count + each - 1) / each;
    if (!(sheet->each = foci_new_array(sheet->pages, sizeof *sheet->each, err)))
        return false;
    for (size_t i = 0; i < sheet->pages; i++)
        sheet->each[i] = (struct page){plan, sheet->write_title, sheet->place, i * each};
    return true;
}

static bool gather_print(foci_small_print *first, foci_small_print *page, foci_small_print *signs,
                         const foci_plan *plan, foci_error *err) {
    static const char typed[] = "Type it into the form (the same plan as a .csv file), or into any table with these "
                                "columns and the stop's longitude and latitude. 0 is a finding; blank: nobody looked.";
    static const char word[] = "What stands here is how the disease usually shows: not a diagnosis. Local extension "
                               "advice prevails.";
    return foci_small_print_add_all(first, FOCI_PRINT_CAUTIONS, &plan->cautions, err) &&
           foci_small_print_add_all(first, FOCI_PRINT_WARNINGS, &plan->facts, err) &&
           foci_small_print_add_all(first, FOCI_PRINT_WARNINGS, &plan->warnings, err) &&
           foci_small_print_add(page, FOCI_PRINT_MADE, typed, err) &&
           foci_small_print_add(signs, FOCI_PRINT_MADE, word, err);
}

static bool write_sheets(const field_sheet *sheet, const char *path, foci_error *err) {
    const foci_plan *plan = sheet->plan;
    foci_small_print first = {0}, page = {0}, last = {0};
    foci_sheet *pages = foci_new_array(sheet->pages, sizeof *pages, err);
    bool ok = pages && gather_print(&first, &page, &last, plan, err);
    const foci_sheet signs = {.title = sheet->title,
                              .print = &last,
                              .body_least = PAGE_LEAST,
                              .head = signs_head,
                              .body = signs_body,
                              .what = sheet};
    for (size_t i = 0; ok && i < sheet->pages; i++)
        pages[i] = (foci_sheet){.title = sheet->write_title,
                                .print = &page,
                                .body_least = PAGE_LEAST,
                                .head = page_head,
                                .body = page_body,
                                .what = &sheet->each[i],
                                .next = i + 1 < sheet->pages ? &pages[i + 1] : &signs};
    const foci_sheet whole = {.title = sheet->title,
                              .description = sheet->place,
                              .made = plan->made,
                              .paper = plan->paper,
                              .print = &first,
                              .body_least = BODY_LEAST,
                              .head = first_head,
                              .body = first_body,
                              .what = sheet,
                              .next = ok ? pages : NULL};
    ok = ok && foci_sheet_write_pdf(&whole, path, err);
    free(pages);
    foci_small_print_free(&first);
    foci_small_print_free(&page);
    foci_small_print_free(&last);
    return ok;
}

bool foci_plan_write_pdf(const foci_plan *plan, const char *path, foci_error *err) {
    field_sheet sheet = {.plan = plan};
    const bool ok = find_words(&sheet, plan, err) && make_pages(&sheet, err) && write_sheets(&sheet, path, err);
    free_sheet(&sheet);
    return ok;
}

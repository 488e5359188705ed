/* Kinds whose value is a row of a catalog, or has several parts. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "run/settings/kinds_of.h"

/* "ONE,OTHER", both numbers. */
static bool read_pair(const char *text, double *one, double *other) {
    const char *comma = strchr(text, ',');
    char first[64] = "";
    if (comma && (size_t)(comma - text) < sizeof first)
        memcpy(first, text, (size_t)(comma - text));
    return comma && foci_number_parse(first, one) && foci_number_parse(comma + 1, other);
}

static bool print_pair(char **out, double one, double other, foci_error *err) {
    char first[FOCI_KIND_DIGITS], second[FOCI_KIND_DIGITS];
    foci_kind_digits(first, one);
    foci_kind_digits(second, other);
    return (*out = foci_format_text(err, "%s,%s", first, second)) != NULL;
}

bool foci_kind_parse_place(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    foci_point read = {0};
    if (!foci_kind_check_text(setting, text, err))
        return false;
    if (!read_pair(text, &read.x, &read.y))
        return foci_setting_refuse(
            setting, err, "'%s' is not a place; write longitude,latitude in degrees, as in -84.5012,31.5003", text);
    if (fabs(read.x) > 180 || fabs(read.y) > 90)
        return foci_setting_refuse(setting, err, "'%s' is off the globe; the longitude comes first", text);
    *(foci_point *)place = read;
    return true;
}

bool foci_kind_print_place(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    (void)setting;
    const foci_point *at = place;
    *out = NULL;
    return isnan(at->x) || print_pair(out, at->x, at->y, err);
}

bool foci_kind_parse_limits(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    foci_stops_options *stops = place;
    double least = 0, most = 0;
    if (!foci_kind_check_text(setting, text, err))
        return false;
    if (!read_pair(text, &least, &most) || least >= most)
        return foci_setting_refuse(setting, err, "'%s' is not two numbers, least first, as in 1,10", text);
    stops->least = least;
    stops->most = most;
    return true;
}

bool foci_kind_print_limits(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    (void)setting;
    const foci_stops_options *stops = place;
    *out = NULL;
    return !(stops->least < stops->most) || print_pair(out, stops->least, stops->most, err);
}

bool foci_kind_parse_order(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    size_t index = 0;
    if (!foci_kind_choose(&index, setting, text, err))
        return false;
    *(int *)place = (int)index;
    return true;
}

bool foci_kind_print_order(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    *out = foci_copy_text(foci_setting_choice(setting, (size_t) * (const int *)place), err);
    return *out != NULL;
}

bool foci_kind_parse_row(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    size_t index = 0;
    if (!foci_kind_choose(&index, setting, text, err))
        return false;
    const void *row = (const char *)setting->choices.rows + index * setting->choices.size;
    memcpy(place, &row, sizeof(void *));
    return true;
}

bool foci_kind_print_row(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    const void *row = NULL;
    const char *name = NULL;
    (void)setting;
    memcpy(&row, place, sizeof(void *));
    *out = NULL;
    if (!row)
        return true;
    memcpy(&name, row, sizeof(char *));
    return (*out = foci_copy_text(name, err)) != NULL;
}

/* One more row, unless it is there. */
static void add_row(char *place, const void *row) {
    for (;; place += sizeof(void *)) {
        const void *there = NULL;
        memcpy(&there, place, sizeof(void *));
        if (there == row)
            return;
        if (!there) {
            memcpy(place, &row, sizeof(void *));
            return;
        }
    }
}

/* Words with commas between them; nothing is added where one of them is none. */
bool foci_kind_parse_rows(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    for (int adding = 0; adding < 2; adding++) {
        const char *rest = text;
        do {
            char word[64];
            const void *row = NULL;
            const size_t length = strcspn(rest, ",");
            snprintf(word, sizeof word, "%.*s", (int)(length < sizeof word ? length : sizeof word - 1), rest);
            if (!foci_kind_parse_row(&row, setting, word, err))
                return false;
            if (adding)
                add_row(place, row);
            rest += length;
        } while (*rest++);
    }
    return true;
}

bool foci_kind_print_rows(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    foci_text text = {0};
    const char *at = place;
    bool ok = true;
    for (;; at += sizeof(void *)) {
        char *name = NULL;
        ok = foci_kind_print_row(&name, at, setting, err);
        if (!ok || !name)
            break;
        ok = foci_text_add(&text, err, "%s%s", text.length ? "," : "", name);
        free(name);
        if (!ok)
            break;
    }
    if (!ok)
        foci_text_free(&text);
    *out = text.text;
    return ok;
}

static const char box_cox[] = "box-cox=";

bool foci_kind_parse_scale(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    foci_surface_options *surface = place;
    foci_scale scale = FOCI_SCALE_NONE;
    double lambda = 0;
    if (!foci_kind_check_text(setting, text, err))
        return false;
    if (strcmp(text, "none") == 0)
        scale = FOCI_SCALE_NONE;
    else if (strcmp(text, "auto") == 0)
        scale = FOCI_SCALE_AUTO;
    else if (strncmp(text, box_cox, sizeof box_cox - 1) == 0 && foci_number_parse(text + sizeof box_cox - 1, &lambda) &&
             fabs(lambda) <= 5)
        scale = FOCI_SCALE_BOX_COX;
    else
        return foci_setting_refuse(setting, err, "'%s' is not none, auto or box-cox=L with L from -5 to 5", text);
    surface->scale = scale;
    surface->lambda = lambda;
    return true;
}

bool foci_kind_print_scale(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    const foci_surface_options *surface = place;
    char lambda[FOCI_KIND_DIGITS];
    (void)setting;
    *out = NULL;
    if (surface->scale == FOCI_SCALE_OPEN)
        return true;
    foci_kind_digits(lambda, surface->lambda);
    *out = surface->scale == FOCI_SCALE_BOX_COX
               ? foci_format_text(err, "%s%s", box_cox, lambda)
               : foci_copy_text(surface->scale == FOCI_SCALE_AUTO ? "auto" : "none", err);
    return *out != NULL;
}

bool foci_kind_parse_model(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    bool whole = false;
    return foci_kind_check_text(setting, text, err) && foci_variogram_parse(place, &whole, text, err);
}

/* The kind's name, and what is not as it is where nothing is said. */
bool foci_kind_print_model(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    const foci_variogram *model = place;
    (void)setting;
    *out = NULL;
    if (!model->kind)
        return true;
    const struct {
        const char *name;
        double number;
        bool said;
    } parts[] = {
        {"nugget", model->nugget, !isnan(model->range)},
        {"partial-sill", model->partial_sill, !isnan(model->range)},
        {"range", model->range, !isnan(model->range)},
        {"heading", model->heading, model->heading != 0},
        {"ratio", model->ratio, model->ratio != 1},
        {"smoothness", model->smoothness, model->smoothness != model->kind->smoothness},
    };
    foci_text text = {0};
    bool ok = foci_text_add(&text, err, "%s", model->kind->name);
    for (size_t i = 0; ok && i < sizeof parts / sizeof *parts; i++) {
        char digits[FOCI_KIND_DIGITS];
        foci_kind_digits(digits, parts[i].number);
        ok = !parts[i].said || foci_text_add(&text, err, ",%s=%s", parts[i].name, digits);
    }
    if (!ok)
        foci_text_free(&text);
    *out = text.text;
    return ok;
}

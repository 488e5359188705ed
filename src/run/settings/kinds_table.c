/* The catalog of kinds, with the flags and numbers. Texts: kinds_text.c; values of several parts: kinds_parts.c. */
#include "run/settings/kinds_of.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/database.h"
#include "keep/job_files.h"

/* ---- flags ---- */

static bool parse_flag(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    if (text)
        return foci_setting_refuse(setting, err, "takes no value");
    *(bool *)place = true;
    return true;
}

static bool print_flag(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    (void)setting;
    *out = NULL;
    return !*(const bool *)place || (*out = foci_copy_text("", err)) != NULL;
}

/* ---- numbers ---- */

typedef struct {
    const char *name;
    double factor;
} unit_row;

/* The foot is the international one (1959), the acre 43,560 square feet. */
static const unit_row lengths[] = {{"m", 1}, {"ft", 0.3048}, {"km", 1000}, {0}};
static const unit_row areas[] = {{"ha", 1}, {"ac", 0.40468564224}, {"m2", 0.0001}, {0}};
static const unit_row rates[] = {{"/ha", 1}, {"/ac", 1 / 0.40468564224}, {0}};
static const unit_row none[] = {{0}};

/* A number with a unit behind it, if the kind has units. */
static bool measure(const char *text, const unit_row *units, double *number) {
    char digits[64];
    size_t length = strlen(text);
    for (const unit_row *unit = units; unit->name; unit++) {
        size_t tail = strlen(unit->name);
        if (length <= tail || length >= sizeof digits || !foci_text_same(text + length - tail, unit->name))
            continue;
        memcpy(digits, text, length - tail);
        digits[length - tail] = '\0';
        if (foci_number_parse(digits, number)) {
            *number *= unit->factor;
            return true;
        }
    }
    return foci_number_parse(text, number);
}

static bool in_range(double read, const foci_setting *setting, const char *text, foci_error *err) {
    if (read >= setting->least && read <= setting->most && !(setting->above && read == setting->least))
        return true;
    if (isinf(setting->most))
        return foci_setting_refuse(setting, err, "%s is out of range; it must be %s %g", text,
                                   setting->above ? "above" : "at least", setting->least);
    return foci_setting_refuse(setting, err, "%s is out of range; it must be %s %g and at most %g", text,
                               setting->above ? "above" : "at least", setting->least, setting->most);
}

static bool read_number(double *number, const foci_setting *setting, const char *text, const unit_row *units,
                        const char *would_do, foci_error *err) {
    double read = 0;
    if (!measure(text, units, &read))
        return foci_setting_refuse(setting, err, "'%s' is not a number; write %s", text, would_do);
    if (!in_range(read, setting, text, err))
        return false;
    *number = read;
    return true;
}

static const char decimal[] = "it with a decimal point, as in 0.5";

static bool parse_number(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    return read_number(place, setting, text, none, decimal, err);
}

static bool parse_length(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    return read_number(place, setting, text, lengths, "meters, or a unit as in 12m or 40ft", err);
}

static bool parse_area(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    return read_number(place, setting, text, areas, "hectares, or a unit as in 0.5ha or 2ac", err);
}

static bool parse_rate(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    return read_number(place, setting, text, rates, "it per hectare, or with a unit as in 40/ac", err);
}

static bool parse_whole(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    double read = 0;
    if (!measure(text, none, &read))
        return foci_setting_refuse(setting, err, "'%s' is not a number; write %s", text, decimal);
    if (read != floor(read))
        return foci_setting_refuse(setting, err, "'%s' is not a whole number", text);
    if (!in_range(read, setting, text, err))
        return false;
    *(size_t *)place = (size_t)read;
    return true;
}

static double number_of(const void *place, const foci_setting *setting) {
    const double number = *(const double *)place;
    return setting->above && number == setting->least ? NAN : number;
}

static double number_of_whole(const void *place, const foci_setting *setting) {
    (void)setting;
    const size_t number = *(const size_t *)place;
    return number == FOCI_OPEN ? NAN : (double)number;
}

static bool print_number(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    char digits[FOCI_KIND_DIGITS];
    const double number = setting->kind->as_number(place, setting);
    *out = NULL;
    if (isnan(number))
        return true;
    foci_kind_digits(digits, number);
    return (*out = foci_copy_text(digits, err)) != NULL;
}

/* ---- the catalog ---- */

static bool any_file(const char *text) {
    (void)text;
    return true;
}

static bool own_profile(const char *text) {
    return !foci_job_is_built_in(text);
}

static bool history_file(const char *text) {
    return !foci_database_is_connection(text);
}

static bool own_scale(const char *text) {
    return !foci_job_is_scale(text);
}

#define A_NUMBER(parse) false, false, (parse), print_number, NULL, number_of, NULL
#define A_TEXT(parse, is_file, names_file)                                                                             \
    false, (is_file), (parse), foci_kind_print_text, foci_kind_free_text, NULL, (names_file)
#define OF_PARTS(parse, print) false, false, (parse), (print), NULL, NULL, NULL

const foci_kind foci_kinds[] = {
    [FOCI_KIND_FLAG] = {"flag", true, false, parse_flag, print_flag, NULL, NULL, NULL},
    [FOCI_KIND_TEXT] = {"text", A_TEXT(foci_kind_parse_text, false, NULL)},
    [FOCI_KIND_SYSTEM] = {"system", A_TEXT(foci_kind_parse_text, false, NULL)},
    [FOCI_KIND_FILE] = {"file", A_TEXT(foci_kind_parse_text, true, any_file)},
    [FOCI_KIND_PROFILE] = {"profile", A_TEXT(foci_kind_parse_text, true, own_profile)},
    [FOCI_KIND_HISTORY] = {"history", A_TEXT(foci_kind_parse_text, true, history_file)},
    [FOCI_KIND_ORDINAL] = {"ordinal", A_TEXT(foci_kind_parse_text, true, own_scale)},
    [FOCI_KIND_DATE] = {"date", A_TEXT(foci_kind_parse_date, false, NULL)},
    [FOCI_KIND_NUMBER] = {"number", A_NUMBER(parse_number)},
    [FOCI_KIND_WHOLE] = {"whole", false, false, parse_whole, print_number, NULL, number_of_whole, NULL},
    [FOCI_KIND_LENGTH] = {"length", A_NUMBER(parse_length)},
    [FOCI_KIND_AREA] = {"area", A_NUMBER(parse_area)},
    [FOCI_KIND_RATE] = {"rate", A_NUMBER(parse_rate)},
    [FOCI_KIND_PLACE] = {"place", OF_PARTS(foci_kind_parse_place, foci_kind_print_place)},
    [FOCI_KIND_LIMITS] = {"limits", OF_PARTS(foci_kind_parse_limits, foci_kind_print_limits)},
    [FOCI_KIND_ORDER] = {"order", OF_PARTS(foci_kind_parse_order, foci_kind_print_order)},
    [FOCI_KIND_SCALE] = {"scale", OF_PARTS(foci_kind_parse_scale, foci_kind_print_scale)},
    [FOCI_KIND_MODEL] = {"model", OF_PARTS(foci_kind_parse_model, foci_kind_print_model)},
    [FOCI_KIND_ROW] = {"row", OF_PARTS(foci_kind_parse_row, foci_kind_print_row)},
    [FOCI_KIND_ROWS] = {"rows", OF_PARTS(foci_kind_parse_rows, foci_kind_print_rows)},
    [FOCI_KIND_LINES] = {"lines", A_TEXT(foci_kind_parse_lines, false, NULL)},
    [FOCI_KIND_FILES] = {"files", A_TEXT(foci_kind_parse_lines, true, any_file)},
    [FOCI_KIND_END] = {0},
};

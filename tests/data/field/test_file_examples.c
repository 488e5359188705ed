/* Every file of testdata/files is read to what its plain twin holds, or refused with the row. */
#include "fieldfoci/field.h"

#include "support/support.h"

/* Degrees: coordinates are written with 8 decimals. */
#define PLACE 1e-8

enum { COLUMNS = 5 };

static char line[1024];
static char *cells[COLUMNS]; /* file, options, twin, row, words */

static const char *path_of(const char *name) {
    static char paths[2][600];
    static int turn;
    char *path = paths[turn++ % 2];
    snprintf(path, sizeof paths[0], "%s/files/%s", getenv("FOCI_TESTDATA"), name);
    return path;
}

static bool next_case(FILE *list) {
    if (!fgets(line, sizeof line, list))
        return false;
    char *at = line;
    line[strcspn(line, "\n")] = '\0';
    for (int i = 0; i < COLUMNS; i++) {
        cells[i] = at;
        at += strcspn(at, "\t");
        if (*at)
            *at++ = '\0';
    }
    return true;
}

/* ---- options ---- */

static const char *option(char *options, const char *name, const char *otherwise) {
    static char values[8][64];
    static int turn;
    char *value = values[turn++ % 8];
    for (char *at = options; at; at = strchr(at, ';') ? strchr(at, ';') + 1 : NULL)
        if (strncmp(at, name, strlen(name)) == 0 && at[strlen(name)] == '=') {
            snprintf(value, sizeof values[0], "%.*s", (int)strcspn(at + strlen(name) + 1, ";"), at + strlen(name) + 1);
            return value;
        }
    return otherwise;
}

static foci_stops_options options_of(char *options) {
    foci_stops_options made = foci_stops_options_make();
    const char *dates = option(options, "dates", NULL);
    made.value = option(options, "value", NULL);
    made.hits = option(options, "hits", NULL);
    made.checked = option(options, "checked", NULL);
    made.id = option(options, "id", "stop");
    made.when = option(options, "when", "day");
    made.xy = option(options, "xy", NULL);
    made.crs = option(options, "crs", NULL);
    made.layer = option(options, "layer", NULL);
    if (dates)
        made.dates = &foci_date_orders[strcmp(dates, "day-first") == 0 ? 0 : 1];
    return made;
}

/* ---- what was said ---- */

/* Each part of `words` between upright lines stands in one of the texts; where there are no words there is no text. */
static void assert_said(const char *words, char *const *texts, size_t count) {
    char part[200];
    for (const char *at = words; *at; at += strcspn(at, "|"), at += *at == '|') {
        bool found = false;
        snprintf(part, sizeof part, "%.*s", (int)strcspn(at, "|"), at);
        for (size_t i = 0; i < count; i++)
            found = found || strstr(texts[i], part);
        if (!found)
            print_error("nothing says '%s'; '%s' does\n", part, count ? texts[0] : "");
        assert_true(found);
    }
    if (!*words && count)
        print_error("nobody expected '%s'\n", texts[0]);
    assert_true(*words || count == 0);
}

static void assert_refused(const foci_error *err) {
    char *text = (char *)err->text;
    assert_int_equal(err->row, strtol(cells[3], NULL, 10));
    assert_non_null(strstr(err->source, cells[0]));
    assert_said(cells[4], &text, 1);
}

/* ---- stops ---- */

static foci_stops twin_of(const char *name, const foci_stops_options *options, bool counts) {
    foci_error err = {0};
    foci_stops stops = {0};
    foci_stops_options plain = foci_stops_options_make();
    const char *path = path_of(name);
    plain.value = counts ? NULL : options->value && strcmp(options->value, "eggs") == 0 ? "eggs" : "severity";
    plain.hits = counts ? "hits" : NULL;
    plain.checked = counts ? "checked" : NULL;
    plain.id = "stop";
    plain.when = "day";
    assert_done(foci_stops_read(&stops, &path, 1, &plain, &err), err);
    assert_int_equal(stops.count, 24);
    return stops;
}

static void assert_same_stops(const foci_stops *stops, const foci_stops *twin) {
    assert_int_equal(stops->kind, twin->kind);
    assert_int_equal(stops->count, twin->count);
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i], *other = &twin->items[i];
        assert_string_equal(stop->name, other->name);
        assert_string_equal(stop->date, other->date);
        assert_string_equal(stop->blank_text, "");
        assert_near(stop->lonlat.x, other->lonlat.x, PLACE);
        assert_near(stop->lonlat.y, other->lonlat.y, PLACE);
        assert_near(stop->value, other->value, 1e-12);
        assert_near(stop->hits, other->hits, 0);
        assert_near(stop->checked, other->checked, 0);
    }
}

static void read_stops(void) {
    foci_error err = {0};
    foci_stops stops = {0};
    const foci_stops_options options = options_of(cells[1]);
    const char *path = path_of(cells[0]);
    const bool read = foci_stops_read(&stops, &path, 1, &options, &err);
    if (strcmp(cells[2], "-") == 0) {
        assert_false(read);
        assert_refused(&err);
        return;
    }
    assert_done(read, err);
    foci_stops twin = twin_of(cells[2], &options, options.hits != NULL);
    assert_same_stops(&stops, &twin);
    assert_said(cells[4], stops.inputs[0].notes.items, stops.inputs[0].notes.count);
    foci_stops_free(&stops);
    foci_stops_free(&twin);
}

/* ---- boundaries ---- */

static void assert_same_field(const foci_field *field, const char *twin_name) {
    foci_error err = {0};
    foci_field twin = {0};
    foci_findings findings = {0};
    const foci_field_options plain = foci_field_options_make();
    const bool near = strncmp(twin_name, "near:", 5) == 0;
    assert_done(foci_field_read(&twin, path_of(near ? twin_name + 5 : twin_name), &plain, &findings, &err), err);
    assert_near(field->area_ha, twin.area_ha, near ? 0.02 * twin.area_ha : 1e-6);
    assert_near(field->centre.x, twin.centre.x, near ? 1e-4 : PLACE);
    assert_near(field->centre.y, twin.centre.y, near ? 1e-4 : PLACE);
    assert_int_equal(findings.count, 0);
    foci_field_free(&twin);
}

static void read_field(void) {
    foci_error err = {0};
    foci_field field = {0};
    foci_findings findings = {0};
    foci_field_options options = foci_field_options_make();
    char *texts[4] = {NULL};
    options.layer = option(cells[1], "layer", NULL);
    const bool read = foci_field_read(&field, path_of(cells[0]), &options, &findings, &err);
    if (strcmp(cells[2], "-") == 0) {
        assert_false(read);
        assert_refused(&err);
        return;
    }
    assert_done(read, err);
    assert_same_field(&field, cells[2]);
    assert_true(findings.count <= 4);
    for (size_t i = 0; i < findings.count; i++) {
        texts[i] = findings.items[i].text;
        assert_int_equal(findings.items[i].severity, FOCI_NOTE);
    }
    assert_said(cells[4], texts, findings.count);
    foci_field_free(&field);
    foci_findings_free(&findings);
}

static void every_file_is_read_or_refused(void **state) {
    (void)state;
    size_t count = 0;
    FILE *list = fopen(path_of("cases.tsv"), "r");
    assert_non_null(list);
    assert_true(next_case(list)); /* the names of the columns */
    for (; next_case(list); count++) {
        print_message("%s %s\n", cells[0], cells[1]);
        if (strncmp(cells[1], "field", 5) == 0 && (!cells[1][5] || cells[1][5] == ';'))
            read_field();
        else
            read_stops();
    }
    fclose(list);
    assert_true(count >= 60);
}

static const char *tried;

static bool attempt_stops(foci_error *err) {
    foci_stops stops = {0};
    foci_stops_options options = foci_stops_options_make();
    const char *path = path_of(tried);
    options.value = "severity";
    options.when = "day";
    bool ok = foci_stops_read(&stops, &path, 1, &options, err);
    foci_stops_free(&stops);
    return ok;
}

static bool attempt_field(foci_error *err) {
    foci_field field = {0};
    foci_findings findings = {0};
    const foci_field_options options = foci_field_options_make();
    bool ok = foci_field_read(&field, path_of("in_pieces.gpx"), &options, &findings, err);
    foci_field_free(&field);
    foci_findings_free(&findings);
    return ok;
}

/* Every 17th allocation: test_stops and test_field try each one of their own files. */
static void fail_some(bool (*attempt)(foci_error *err)) {
    for (long n = 0, done = 0; !done; n += 17) {
        foci_error err = {0};
        foci_memory_fail_after(n);
        done = attempt(&err);
        foci_memory_fail_after(-1);
        assert_int_equal(err.status, done ? FOCI_OK : FOCI_NO_MEMORY);
    }
}

static void allocations_may_fail(void **state) {
    (void)state;
    const char *files[] = {"dms_curly.csv", "unicode_text.txt", "book_titles.xlsx", "stops.zip"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        tried = files[i];
        fail_some(attempt_stops);
    }
    fail_some(attempt_field);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_file_is_read_or_refused),
        cmocka_unit_test(allocations_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

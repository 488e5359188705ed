/* A comparison's surroundings: a history it comes from, the folder it goes to, and memory that runs out. */
#define SAMPLE_CELL "20"
#include "run/seasons/sample_surveys.h"
#include "support/places.h"

#include <dirent.h>

#include "fieldfoci/export.h"
#include "fieldfoci/history.h"
#include "decide/words/seasons_words.h"
#include "run/seasons/seasons_work.h"

static foci_seasons both; /* a and b */

static int begin(void **state) {
    foci_error err = {0};
    if (sample_begin(state))
        return -1;
    map_survey("a", "a.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("b", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    assert_done(compare(&both, MORE(in_folder("a"), in_folder("b")), &err), err);
    return 0;
}

static int end(void **state) {
    foci_seasons_free(&both);
    return sample_end(state);
}

/* ---- a history ---- */

static void a_history_tells_the_same(void **state) {
    (void)state;
    foci_seasons history = {0};
    foci_error err = {0};
    const foci_history_options notes = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    char file[512];
    snprintf(file, sizeof file, "%s", in_folder("history.gpkg"));
    static const char *const recorded[] = {"b", "a"};
    for (size_t i = 0; i < 2; i++)
        assert_done(foci_history_record(in_folder(recorded[i]), file, &notes, &already, NULL, &err), err);
    assert_done(compare(&history, MORE("--history", file, "--field-name", "thistledown"), &err), err);
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        assert_near(history.persistence.classes[code].value, both.persistence.classes[code].value, 0);
    assert_near(history.persistence.pairs[0].p, both.persistence.pairs[0].p, 0);
    assert_string_equal(history.rounds[0].season, "2024");
    assert_string_equal(history.keys[0], both.keys[0]);
    assert_non_null(strstr(history.surveys[0], "history.gpkg ["));
    foci_seasons_free(&history);
    /* two of three, by season or by their letters; and what does not name one */
    write_stops("c.csv", &(sample_season){4.6, 4.9, 44, 5, false, false}, 2022);
    map_survey("c", "c.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    assert_done(foci_history_record(in_folder("c"), file, &notes, &already, NULL, &err), err);
    char letters[13];
    snprintf(letters, sizeof letters, "%.12s", both.keys[0]);
    assert_done(compare(&history, MORE("--history", file, "--only", "2026", "--only", letters), &err), err);
    assert_int_equal(history.count, 2);
    assert_string_equal(history.rounds[0].season, "2024");
    assert_string_equal(history.rounds[1].season, "2026");
    foci_seasons_free(&history);
    assert_fails(compare(&history, MORE("--history", file, "--only", "2026", "--only", "2020"), &err), err,
                 FOCI_BAD_INPUT, "holds no survey of season '2020'; it holds Thistledown, 2022");
    assert_fails(compare(&history, MORE("--history", file, "--only", "2026", "--only", "2026"), &err), err,
                 FOCI_BAD_SETTING, "'2026' is named twice");
    assert_fails(compare(&history, MORE("--history", file, "--only", "2026"), &err), err, FOCI_BAD_SETTING,
                 "one season is nothing to compare");
    assert_fails(compare(&history, MORE("--history", file, "2026", "2024"), &err), err, FOCI_BAD_SETTING,
                 "choose seasons of the history with {only} SEASON");
    assert_fails(compare(&history, MORE("a", "b", "--only", "2026"), &err), err, FOCI_BAD_SETTING, "name the history");
}

/* ---- the folder ---- */

static bool same_bytes(const char *one, const char *other) {
    FILE *a = fopen(one, "rb"), *b = fopen(other, "rb");
    assert_non_null(a);
    assert_non_null(b);
    int left = 0, right = 0;
    while (left == right && left != EOF) {
        left = fgetc(a);
        right = fgetc(b);
    }
    fclose(a);
    fclose(b);
    return left == right;
}

static void threads_change_no_byte(void **state) {
    (void)state;
    static const char *const threads[] = {"1", "4"}, *const out[] = {"one", "four"};
    foci_error err = {0};
    for (size_t i = 0; i < 2; i++) {
        foci_seasons seasons = {0};
        assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("b"), "--threads", threads[i]), &err), err);
        assert_done(foci_seasons_write(&seasons, in_folder(out[i]), false, &err), err);
        foci_seasons_free(&seasons);
    }
    size_t files = 0;
    DIR *list = opendir(in_folder("one"));
    assert_non_null(list);
    for (struct dirent *entry = NULL; (entry = readdir(list));) {
        char one[1024], four[1024];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(one, sizeof one, "%s/one/%s", sample_folder, entry->d_name);
        snprintf(four, sizeof four, "%s/four/%s", sample_folder, entry->d_name);
        if (!same_bytes(one, four))
            fail_msg("%s differs", entry->d_name);
        files++;
    }
    closedir(list);
    size_t wanted = 1;
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file; row++)
        wanted++;
    assert_int_equal(files, wanted);
}

static void only_its_own_folder_is_replaced(void **state) {
    (void)state;
    foci_error err = {0};
    assert_done(foci_seasons_write(&both, in_folder("out"), false, &err), err);
    assert_fails(foci_seasons_write(&both, in_folder("out"), false, &err), err, FOCI_NO_FILE, "{overwrite}");
    write_file("out/notes.txt", "talk to the neighbour");
    err = (foci_error){0};
    assert_done(foci_seasons_write(&both, in_folder("out"), true, &err), err);
    assert_int_equal(access(in_folder("out/notes.txt"), R_OK), 0);
    assert_fails(foci_seasons_write(&both, in_folder("a"), true, &err), err, FOCI_NO_FILE, "");
    assert_int_equal(access(in_folder("a/survey.json"), R_OK), 0);
}

/* ---- memory ---- */

static bool attempt_words(foci_error *err) {
    char *text = foci_seasons_summary(&both, err);
    free(text);
    if (!text)
        return false;
    foci_sentences_free(&both.sentences);
    foci_sentences_free(&both.cautions);
    return foci_seasons_say(&both, err);
}

static foci_settings unlike;

static bool attempt_reading(foci_error *err) {
    foci_seasons seasons = {0};
    foci_seasons_work *work = calloc(1, sizeof *work);
    work->settings = &unlike;
    bool ok = foci_seasons_work_read(work, err) && foci_seasons_work_judge(&seasons, work, err);
    foci_seasons_work_free(work);
    free(work);
    foci_seasons_free(&seasons);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt_words);
    map_survey("b15", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "15"));
    unlike = seasons_settings(MORE(in_folder("a"), in_folder("b15"), "--even-so", "for the test"));
    support_fail_each_place(attempt_reading);
    foci_settings_free(&unlike);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_history_tells_the_same),
        cmocka_unit_test(threads_change_no_byte),
        cmocka_unit_test(only_its_own_folder_is_replaced),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

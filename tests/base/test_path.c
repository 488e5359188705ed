#include "base/path.h"

#include <sys/stat.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "support/support.h"

static char place[] = "/tmp/foci-path-XXXXXX";

static int begin(void **state) {
    (void)state;
    if (!mkdtemp(place) || chdir(place) || mkdir("farm", 0777) || mkdir("farm/in", 0777) || mkdir("farm/out", 0777) ||
        mkdir("other", 0777) || symlink("../other", "farm/away"))
        return -1;
    FILE *file = fopen("farm/in/stops.csv", "w");
    return file ? fclose(file) : -1;
}

static int end(void **state) {
    (void)state;
    if (chdir("/"))
        return -1;
    foci_unfinished_remove(place);
    return 0;
}

typedef char *(*path_function)(const char *folder, const char *path, foci_error *err);

static void gives(path_function function, const char *folder, const char *path, const char *wanted) {
    foci_error err = {0};
    char *got = function(folder, path, &err);
    assert_non_null(got);
    assert_string_equal(got, wanted);
    free(got);
}

static void a_file_is_named_from_a_folder(void **state) {
    (void)state;
    gives(foci_path_from, "survey", "farm/in/stops.csv", "../farm/in/stops.csv"); /* a folder that is not there yet */
    gives(foci_path_from, "farm/out/", "farm/in/stops.csv", "../in/stops.csv");
    gives(foci_path_from, "farm", "farm/in/stops.csv", "in/stops.csv");
    gives(foci_path_from, "farm/in", "./farm/in/stops.csv", "stops.csv");
    gives(foci_path_from, "farm/input", "farm/in/stops.csv", "../in/stops.csv"); /* no folder in common with "in" */
    gives(foci_path_from, "farm/out", "farm/in", "../in");
    gives(foci_path_from, "farm/away/out", "farm/in/stops.csv", "../../farm/in/stops.csv"); /* through a link */
    gives(foci_path_from, "survey", "gone.csv", "gone.csv");
    gives(foci_path_from, "nowhere/survey", "farm/in/stops.csv", "farm/in/stops.csv");
    gives(foci_path_from, "survey", "/tmp", "/tmp");
}

static void and_found_again(void **state) {
    (void)state;
    gives(foci_path_beside, "farm/out", "../in/stops.csv", "farm/in/stops.csv");
    gives(foci_path_beside, "farm", "../other/x.csv", "other/x.csv");
    gives(foci_path_beside, "farm/out", "x.csv", "farm/out/x.csv");
    gives(foci_path_beside, ".", "../x.csv", "../x.csv");
    gives(foci_path_beside, "farm/away", "../x.csv", "farm/away/../x.csv"); /* a link's parent is elsewhere */
    gives(foci_path_beside, "farm/out", "/x.csv", "/x.csv");
    gives(foci_path_beside, "/", "x.csv", "/x.csv");
    foci_error err = {0};
    char *folder = foci_path_folder("farm/out/survey.json", &err);
    assert_string_equal(folder, "farm/out");
    free(folder);
    folder = foci_path_folder("survey.json", &err);
    assert_string_equal(folder, ".");
    free(folder);
}

static bool attempt(foci_error *err) {
    char *from = foci_path_from("farm/out", "farm/in/stops.csv", err);
    char *beside = from ? foci_path_beside("farm/out", from, err) : NULL;
    bool ok = beside != NULL;
    free(from);
    free(beside);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

/* What people know a file by, and no more of where it lies than tells it from the others. */
static void a_name_is_the_end_of_a_path(void **state) {
    (void)state;
    char a[] = "/home/x/2024/survey", b[] = "/home/x/2026/survey", c[] = "other/2024", d[] = "2024",
         e[] = "/home/x/new/";
    char *const paths[] = {a, b, c, d, e, d};
    assert_string_equal(foci_path_name("/home/x/stops.csv"), "stops.csv");
    assert_string_equal(foci_path_name("stops.csv"), "stops.csv");
    assert_string_equal(foci_path_name("out/"), "out/");
    assert_string_equal(foci_path_name("/"), "/");
    assert_string_equal(foci_path_name(""), "");
    assert_string_equal(foci_path_name_alone(paths, 4, 0), "2024/survey");
    assert_string_equal(foci_path_name_alone(paths, 4, 1), "2026/survey");
    assert_string_equal(foci_path_name_alone(paths, 4, 2), "other/2024");
    assert_string_equal(foci_path_name_alone(paths, 4, 3), "2024");
    assert_string_equal(foci_path_name_alone(paths, 6, 4), "new/");
    assert_string_equal(foci_path_name_alone(paths, 6, 5), "2024"); /* the same twice: all there is */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_is_named_from_a_folder),
        cmocka_unit_test(and_found_again),
        cmocka_unit_test(a_name_is_the_end_of_a_path),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

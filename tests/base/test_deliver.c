#include "support/support.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/unfinished.h"

/* Old or foreign file systems know no exchange and perhaps no links: all tests run on such ones too. These stand in for
 * the C library's functions. */
static bool knows_flags = true, knows_links = true;

int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags) {
    if (knows_flags)
        return (int)syscall(SYS_renameat2, from_folder, from, to_folder, to, flags);
    errno = EINVAL;
    return -1;
}

int linkat(int from_folder, const char *from, int to_folder, const char *to, int flags) {
    if (knows_links)
        return (int)syscall(SYS_linkat, from_folder, from, to_folder, to, flags);
    errno = EPERM;
    return -1;
}

static char place[64]; /* a fresh folder for each test */

static int make_place(void **state) {
    (void)state;
    snprintf(place, sizeof place, "/tmp/fieldfoci-deliver-XXXXXX");
    return mkdtemp(place) == NULL;
}

static int remove_place(void **state) {
    (void)state;
    struct stat status;
    foci_unfinished_remove(place);
    return lstat(place, &status) == 0;
}

/* A path in the folder of this test; it stays for many more calls. */
static const char *in_place(const char *name) {
    static char paths[64][512];
    static int next;
    char *path = paths[next++ % 64];
    snprintf(path, sizeof paths[0], "%s/%s", place, name);
    return path;
}

static void put(const char *path, const char *text) {
    FILE *stream = fopen(path, "w");
    assert_non_null(stream);
    fputs(text, stream);
    assert_int_equal(fclose(stream), 0);
}

static void assert_holds(const char *path, const char *text) {
    char bytes[256] = "";
    FILE *stream = fopen(path, "r");
    assert_non_null(stream);
    size_t count = fread(bytes, 1, sizeof bytes - 1, stream);
    fclose(stream);
    assert_int_equal(count, strlen(text));
    assert_string_equal(bytes, text);
}

static bool is_there(const char *path) {
    struct stat status;
    return lstat(path, &status) == 0;
}

/* How many entries a folder holds. */
static int entries(const char *path) {
    int count = 0;
    DIR *folder = opendir(path);
    assert_non_null(folder);
    while (readdir(folder))
        count++;
    closedir(folder);
    return count - 2;
}

static bool deliver_text(const char *path, const char *text, bool overwrite, foci_error *err) {
    return foci_deliver_bytes(path, text, strlen(text), overwrite, err);
}

static void test_bytes_arrive(void **state) {
    (void)state;
    foci_error err = {0};
    const char *path = in_place("summary.json");
    assert_done(deliver_text(path, "{}\n", false, &err), err);
    assert_holds(path, "{}\n");
    assert_done(deliver_text(in_place("empty.txt"), "", false, &err), err);
    assert_holds(in_place("empty.txt"), "");
    size_t size = 3000017; /* more than one write call need take */
    char *bytes = malloc(size), *back = malloc(size);
    for (size_t i = 0; i < size; i++)
        bytes[i] = (char)(i * 31 % 251);
    assert_done(foci_deliver_bytes(in_place("large"), bytes, size, false, &err), err);
    FILE *stream = fopen(in_place("large"), "r");
    assert_int_equal(fread(back, 1, size, stream), size);
    assert_int_equal(fgetc(stream), EOF);
    fclose(stream);
    assert_memory_equal(bytes, back, size);
    free(bytes);
    free(back);
    assert_int_equal(entries(place), 3);
}

static void test_mode_obeys_the_mask(void **state) {
    (void)state;
    foci_error err = {0};
    struct stat status;
    mode_t before = umask(027);
    bool ok = deliver_text(in_place("a.txt"), "x", false, &err);
    umask(before);
    assert_done(ok, err);
    assert_int_equal(stat(in_place("a.txt"), &status), 0);
    assert_int_equal(status.st_mode & 0777, 0640);
}

static void test_existing_file_is_kept_unless_overwritten(void **state) {
    (void)state;
    foci_error err = {0};
    const char *path = in_place("a.csv");
    put(path, "old");
    assert_fails(foci_deliver_may_write(path, false, &err), err, FOCI_NO_FILE, "{overwrite}");
    assert_string_equal(err.source, path);
    assert_fails(deliver_text(path, "new", false, &err), err, FOCI_NO_FILE, "already there");
    assert_holds(path, "old");
    err = (foci_error){0};
    assert_done(foci_deliver_may_write(path, true, &err), err);
    assert_done(deliver_text(path, "new", true, &err), err);
    assert_holds(path, "new");
    assert_int_equal(entries(place), 1);
}

/* Somebody else makes the file while ours is being written: it is not ours to replace. */
static void test_file_that_appeared_meanwhile_is_kept(void **state) {
    (void)state;
    foci_error err = {0};
    const char *path = in_place("a.csv");
    assert_done(foci_deliver_may_write(path, false, &err), err);
    char *temporary = foci_deliver_beside(path, &err);
    put(temporary, "ours");
    put(path, "theirs");
    assert_fails(foci_deliver_file(temporary, path, false, &err), err, FOCI_NO_FILE, "already there");
    assert_holds(path, "theirs");
    assert_int_equal(entries(place), 1);
    free(temporary);
}

static void test_name_beside(void **state) {
    (void)state;
    foci_error err = {0};
    const struct {
        const char *final, *start, *ending;
    } rows[] = {{"at.csv", ".at.csv.fieldfoci-", ".csv"},      {"survey", ".survey.fieldfoci-", ""},
                {"survey/", ".survey.fieldfoci-", ""},         {".hidden", "..hidden.fieldfoci-", ""},
                {"a.b.gpkg", ".a.b.gpkg.fieldfoci-", ".gpkg"}, {"Block 7. south and east", ".Block 7.", ""}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char *beside = foci_deliver_beside(in_place(rows[i].final), &err);
        char *again = foci_deliver_beside(in_place(rows[i].final), &err);
        assert_non_null(beside);
        assert_non_null(again);
        const char *name = strrchr(beside, '/') + 1;
        assert_memory_equal(beside, place, strlen(place));
        assert_int_equal(name - beside - 1, strlen(place));
        assert_memory_equal(name, rows[i].start, strlen(rows[i].start));
        size_t length = strlen(name), tail = strlen(rows[i].ending);
        assert_string_equal(name + length - tail, rows[i].ending);
        assert_string_not_equal(beside, again);
        assert_false(is_there(beside));
        free(beside);
        free(again);
    }
    char *bare = foci_deliver_beside("just-a-name.png", &err);
    assert_memory_equal(bare, "./.just-a-name.png.fieldfoci-", 29);
    free(bare);
}

static void test_long_names_still_fit(void **state) {
    (void)state;
    foci_error err = {0};
    char name[256];
    memset(name, 'n', 251);
    memcpy(name + 251, ".csv", 5); /* 255 bytes, the most a name may have */
    assert_done(deliver_text(in_place(name), "1\n", false, &err), err);
    assert_holds(in_place(name), "1\n");
}

static void test_folder_must_be_there(void **state) {
    (void)state;
    foci_error err = {0};
    assert_fails(foci_deliver_beside(in_place("nowhere/a.csv"), &err), err, FOCI_NO_FILE, "make it first");
    assert_fails(foci_deliver_may_write(in_place("nowhere/a.csv"), true, &err), err, FOCI_NO_FILE, "nowhere");
    put(in_place("file"), "x");
    assert_fails(deliver_text(in_place("file/a.csv"), "x", false, &err), err, FOCI_NO_FILE, "there is no folder");
    assert_fails(foci_deliver_may_write("", false, &err), err, FOCI_NO_FILE, "not a name");
    assert_fails(foci_deliver_may_write("/", true, &err), err, FOCI_NO_FILE, "not a name");
}

/* What is no plain file is never replaced, with leave to overwrite or without: to replace /dev/null would be a
 * disaster. */
static void test_devices_links_and_folders_are_no_files(void **state) {
    (void)state;
    foci_error err = {0};
    const char *link_path = in_place("link"), *folder = in_place("folder");
    assert_int_equal(symlink("/dev/full", link_path), 0);
    assert_int_equal(mkdir(folder, 0777), 0);
    const char *devices[] = {"/dev/full", "/dev/null", link_path};
    for (size_t i = 0; i < 3; i++) {
        assert_fails(deliver_text(devices[i], "x", false, &err), err, FOCI_NO_FILE, "link or a device");
        assert_fails(deliver_text(devices[i], "x", true, &err), err, FOCI_NO_FILE, "link or a device");
        assert_fails(foci_deliver_may_write(devices[i], true, &err), err, FOCI_NO_FILE, "link or a device");
    }
    struct stat status;
    assert_true(stat("/dev/full", &status) == 0 && S_ISCHR(status.st_mode));
    assert_fails(deliver_text(folder, "x", true, &err), err, FOCI_NO_FILE, "is a folder");
    assert_int_equal(entries(folder), 0);
    assert_int_equal(entries(place), 2);
}

static void test_place_that_takes_no_files(void **state) {
    (void)state;
    foci_error err = {0};
    assert_fails(deliver_text("/proc/fieldfoci.txt", "x", false, &err), err, FOCI_NO_FILE, "cannot be written");
    assert_non_null(strstr(err.text, "choose another place"));
    assert_null(strchr(err.text, '\n'));
    assert_string_equal(err.source, "/proc/fieldfoci.txt");
}

/* A write that stops half-way, as on a full disk: here by a limit on the size of files. */
static void test_half_a_write_leaves_nothing(void **state) {
    (void)state;
    foci_error err = {0};
    static char bytes[300000];
    struct rlimit before;
    put(in_place("old.bin"), "old");
    getrlimit(RLIMIT_FSIZE, &before);
    struct rlimit low = {100000, before.rlim_max};
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &low);
    bool ok = foci_deliver_bytes(in_place("old.bin"), bytes, sizeof bytes, true, &err);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, handler);
    assert_false(ok);
    assert_int_equal(err.status, FOCI_NO_FILE);
    assert_non_null(strstr(err.text, "cannot be written"));
    assert_holds(in_place("old.bin"), "old");
    assert_int_equal(entries(place), 1);
}

/* A temporary that cannot be put in place goes: here it lies on another file system (/dev/shm), or was never made. */
static void test_failed_delivery_leaves_nothing(void **state) {
    (void)state;
    foci_error err = {0};
    const char *path = in_place("a.csv");
    assert_fails(foci_deliver_file(in_place("never-made"), path, false, &err), err, FOCI_NO_FILE, "cannot be written");
    assert_int_equal(entries(place), 0);
    char elsewhere[] = "/dev/shm/fieldfoci-XXXXXX";
    struct stat here = {0}, there = {0};
    int file = mkstemp(elsewhere);
    if (file < 0 || stat(place, &here) != 0 || fstat(file, &there) != 0)
        skip();
    close(file);
    if (here.st_dev == there.st_dev) {
        remove(elsewhere);
        skip();
    }
    assert_fails(foci_deliver_file(elsewhere, path, false, &err), err, FOCI_NO_FILE, "put in place");
    assert_false(is_there(elsewhere));
    assert_int_equal(entries(place), 0);
}

static bool says_ours(const char *path) {
    char bytes[16] = "";
    FILE *stream = fopen(path, "r");
    if (!stream)
        return false;
    bool ours = fread(bytes, 1, sizeof bytes - 1, stream) == 4 && strcmp(bytes, "ours") == 0;
    fclose(stream);
    return ours;
}

static const char *const our_names[] = {"survey.json", "map.png", NULL};

/* A new folder beside `final`, with our two files. */
static char *new_folder(const char *final, const char *map) {
    foci_error err = {0};
    char *temporary = foci_deliver_beside(final, &err);
    assert_non_null(temporary);
    assert_int_equal(mkdir(temporary, 0777), 0);
    char path[600];
    snprintf(path, sizeof path, "%s/survey.json", temporary);
    put(path, "ours");
    snprintf(path, sizeof path, "%s/map.png", temporary);
    put(path, map);
    return temporary;
}

static bool deliver(const char *final, const char *map, bool overwrite, foci_error *err) {
    char *temporary = new_folder(final, map);
    bool ok = foci_deliver_folder(temporary, final, overwrite, "survey.json", says_ours, our_names, err);
    assert_false(is_there(temporary));
    free(temporary);
    return ok;
}

static void test_folder_arrives(void **state) {
    (void)state;
    foci_error err = {0};
    assert_done(deliver(in_place("survey"), "first", false, &err), err);
    assert_holds(in_place("survey/map.png"), "first");
    assert_done(deliver(in_place("other/"), "first", true, &err), err);
    assert_holds(in_place("other/survey.json"), "ours");
    assert_int_equal(entries(place), 2);
}

static void test_folder_is_exchanged_and_the_rest_kept(void **state) {
    (void)state;
    foci_error err = {0};
    const char *survey = in_place("survey");
    assert_done(deliver(survey, "first", false, &err), err);
    put(in_place("survey/notes.txt"), "theirs");
    assert_int_equal(mkdir(in_place("survey/photos"), 0777), 0);
    put(in_place("survey/photos/1.jpg"), "picture");
    assert_int_equal(symlink("notes.txt", in_place("survey/link")), 0);
    assert_fails(deliver(survey, "second", false, &err), err, FOCI_NO_FILE, "{overwrite}");
    assert_holds(in_place("survey/map.png"), "first");
    err = (foci_error){0};
    assert_done(deliver(survey, "second", true, &err), err);
    assert_holds(in_place("survey/map.png"), "second");
    assert_holds(in_place("survey/notes.txt"), "theirs");
    assert_holds(in_place("survey/photos/1.jpg"), "picture");
    assert_holds(in_place("survey/link"), "theirs");
    assert_int_equal(entries(survey), 5);
    assert_int_equal(entries(place), 1);
}

/* A file of the old survey that the new one does not have is ours, and goes. */
static void test_old_files_of_ours_go(void **state) {
    (void)state;
    foci_error err = {0};
    const char *survey = in_place("survey");
    const char *const more_names[] = {"survey.json", "map.png", "low.tif", NULL};
    assert_done(deliver(survey, "first", false, &err), err);
    put(in_place("survey/low.tif"), "old layer");
    char *temporary = new_folder(survey, "second");
    assert_done(foci_deliver_folder(temporary, survey, true, "survey.json", says_ours, more_names, &err), err);
    free(temporary);
    assert_false(is_there(in_place("survey/low.tif")));
    assert_int_equal(entries(survey), 2);
}

static void test_folder_of_somebody_else_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    const char *folder = in_place("folder");
    assert_int_equal(mkdir(folder, 0777), 0);
    put(in_place("folder/thesis.txt"), "years of work");
    assert_fails(deliver(folder, "new", true, &err), err, FOCI_NO_FILE, "not made by this program");
    put(in_place("folder/survey.json"), "not");
    assert_fails(deliver(folder, "new", true, &err), err, FOCI_NO_FILE, "survey.json");
    assert_holds(in_place("folder/thesis.txt"), "years of work");
    assert_int_equal(entries(folder), 2);
    put(in_place("file"), "x");
    assert_fails(deliver(in_place("file"), "new", true, &err), err, FOCI_NO_FILE, "is a file");
    assert_int_equal(symlink("folder", in_place("link")), 0);
    assert_fails(deliver(in_place("link"), "new", true, &err), err, FOCI_NO_FILE, "link or a device");
    assert_int_equal(entries(place), 3);
}

/* A folder that bears the name of one of our files is somebody's, and so is a link, or a file named as a folder. */
static void test_what_only_bears_our_names_is_kept(void **state) {
    (void)state;
    static const char *const names[] = {"survey.json", "map.png", "TASKDATA/", NULL};
    foci_error err = {0};
    const char *survey = in_place("survey"), *folder = in_place("survey/map.png"), *data = in_place("survey/TASKDATA");
    for (int kind = 0; kind < 3; kind++) {
        assert_done(deliver(survey, "first", false, &err), err);
        if (kind < 2)
            unlink(folder);
        if (kind == 0) {
            assert_int_equal(mkdir(folder, 0777), 0);
            put(in_place("survey/map.png/beans.txt"), "theirs");
        } else if (kind == 1) {
            assert_int_equal(symlink("beans.png", folder), 0);
        } else {
            put(data, "theirs");
        }
        char *temporary = new_folder(survey, "second");
        assert_fails(foci_deliver_folder(temporary, survey, true, "survey.json", says_ours, names, &err), err,
                     FOCI_NO_FILE, "of this program; move it away");
        assert_non_null(strstr(err.text, kind < 2 ? "map.png, which is no file" : "TASKDATA/, which is no folder"));
        assert_false(is_there(temporary));
        assert_true(is_there(kind < 2 ? folder : data));
        if (kind == 0)
            assert_holds(in_place("survey/map.png/beans.txt"), "theirs");
        free(temporary);
        foci_unfinished_remove(survey);
        err = (foci_error){0};
    }
}

/* In a process that ends at once: what it left is a dead one's. */
static void leave_behind(const char *final, bool folder, bool marked, const char *theirs) {
    pid_t child = fork();
    if (child == 0) {
        foci_error err = {0};
        char path[600];
        char *temporary = foci_deliver_beside(final, &err);
        if (!folder) {
            put(temporary, "half");
            snprintf(path, sizeof path, "%s-journal", temporary);
            put(path, "half");
            _exit(0);
        }
        mkdir(temporary, 0777);
        snprintf(path, sizeof path, "%s/%s", temporary, marked ? "survey.json" : "map.png");
        put(path, "ours");
        if (theirs) {
            snprintf(path, sizeof path, "%s/%s", temporary, theirs);
            put(path, "theirs");
        }
        _exit(0);
    }
    assert_true(child > 0);
    assert_int_equal(waitpid(child, NULL, 0), child);
}

static void test_what_dead_processes_left_goes(void **state) {
    (void)state;
    foci_error err = {0};
    const char *table = in_place("a.csv"), *survey = in_place("survey");
    leave_behind(table, false, false, NULL);
    leave_behind(in_place("b.csv"), false, false, NULL);
    put(in_place(".a.csv.fieldfoci-abcdef"), "of an earlier version, whose process is not known");
    assert_int_equal(entries(place), 5);
    char *living =
        foci_deliver_beside(table, &err); /* of this process: not there yet, and never taken for a dead one's */
    put(living, "being written");
    assert_done(deliver_text(table, "new", false, &err), err);
    assert_int_equal(entries(place), 5); /* a.csv, the living one, that of the earlier version, two of b.csv */
    assert_holds(living, "being written");
    foci_unfinished_remove(living);
    free(living);
    /* Unfinished folders go; one that was replaced when its process died gives back first what was not ours. */
    leave_behind(survey, true, false, "map.pdf");
    leave_behind(survey, true, true, "notes.txt");
    assert_int_equal(entries(place), 6);
    assert_done(deliver(survey, "new", false, &err), err);
    assert_int_equal(entries(place), 5);
    assert_int_equal(entries(survey), 3);
    assert_holds(in_place("survey/notes.txt"), "theirs");
    leave_behind(survey, true, true, "notes.txt"); /* a name that is taken: it stays where it is */
    assert_done(deliver(survey, "newer", true, &err), err);
    assert_int_equal(entries(place), 6);
}

/* What a signal handler does. */
static void test_what_is_being_written_can_be_abandoned(void **state) {
    (void)state;
    foci_error err = {0};
    char path[600];
    const char *survey = in_place("survey");
    assert_done(deliver(survey, "first", false, &err), err);
    char *folder = new_folder(survey, "second"), *table = foci_deliver_beside(in_place("a.csv"), &err);
    snprintf(path, sizeof path, "%s/inner", folder);
    assert_int_equal(mkdir(path, 0777), 0);
    for (int i = 0; i < 300; i++) { /* more than one call lists */
        snprintf(path, sizeof path, "%s/inner/%d with a name that is long enough to fill a buffer soon", folder, i);
        put(path, "x");
    }
    put(table, "half");
    snprintf(path, sizeof path, "%s-journal", table);
    put(path, "half");
    foci_abandon_unfinished();
    assert_int_equal(entries(place), 1);
    assert_holds(in_place("survey/map.png"), "first");
    foci_unfinished_forget(folder);
    foci_unfinished_forget(table);
    free(folder);
    free(table);
}

/* The old folder gives up nothing where a file of the same name came with the new one: both stay. */
static void test_name_that_both_folders_have_is_not_lost(void **state) {
    (void)state;
    foci_error err = {0};
    const char *survey = in_place("survey");
    assert_done(deliver(survey, "first", false, &err), err);
    put(in_place("survey/extra"), "old");
    char *temporary = new_folder(survey, "second");
    char path[600];
    snprintf(path, sizeof path, "%s/extra", temporary);
    put(path, "new");
    assert_fails(foci_deliver_folder(temporary, survey, true, "survey.json", says_ours, our_names, &err), err,
                 FOCI_NO_FILE, temporary);
    assert_holds(in_place("survey/extra"), "new");
    assert_holds(in_place("survey/map.png"), "second");
    assert_holds(path, "old");
    free(temporary);
}

static void test_remove(void **state) {
    (void)state;
    assert_int_equal(mkdir(in_place("outside"), 0777), 0);
    put(in_place("outside/kept"), "kept");
    assert_int_equal(mkdir(in_place("a"), 0777), 0);
    assert_int_equal(mkdir(in_place("a/b"), 0777), 0);
    put(in_place("a/b/c"), "x");
    assert_int_equal(symlink("../outside", in_place("a/link")), 0);
    foci_unfinished_remove(in_place("a"));
    assert_false(is_there(in_place("a")));
    assert_holds(in_place("outside/kept"), "kept");
    foci_unfinished_remove(in_place("outside/kept"));
    assert_false(is_there(in_place("outside/kept")));
    foci_unfinished_remove(in_place("never-there"));
}

/* An allocation may fail at any moment before the exchange: then the old folder is whole and no temporary is left. */
static bool exchange_once(foci_error *err) {
    char *temporary = NULL;
    const char *survey = in_place("survey");
    foci_unfinished_remove(survey);
    temporary = foci_deliver_beside(survey, err);
    if (!temporary)
        return false;
    mkdir(temporary, 0777);
    bool ok = foci_deliver_folder(temporary, survey, false, "survey.json", says_ours, our_names, err) &&
              deliver_text(in_place("survey/survey.json"), "ours", false, err);
    if (!ok) {
        assert_false(is_there(temporary));
        free(temporary);
        return false;
    }
    free(temporary);
    temporary = foci_deliver_beside(survey, err);
    if (!temporary)
        return false;
    mkdir(temporary, 0777);
    ok = foci_deliver_folder(temporary, survey, true, "survey.json", says_ours, our_names, err);
    if (!ok)
        assert_true(is_there(in_place("survey/survey.json")));
    free(temporary);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(exchange_once);
    assert_int_equal(entries(place), 1);
}

#define deliver_test(test) cmocka_unit_test_setup_teardown(test, make_place, remove_place)

int main(void) {
    const struct CMUnitTest tests[] = {
        deliver_test(test_bytes_arrive),
        deliver_test(test_mode_obeys_the_mask),
        deliver_test(test_existing_file_is_kept_unless_overwritten),
        deliver_test(test_file_that_appeared_meanwhile_is_kept),
        deliver_test(test_name_beside),
        deliver_test(test_long_names_still_fit),
        deliver_test(test_folder_must_be_there),
        deliver_test(test_devices_links_and_folders_are_no_files),
        deliver_test(test_place_that_takes_no_files),
        deliver_test(test_half_a_write_leaves_nothing),
        deliver_test(test_failed_delivery_leaves_nothing),
        deliver_test(test_folder_arrives),
        deliver_test(test_folder_is_exchanged_and_the_rest_kept),
        deliver_test(test_old_files_of_ours_go),
        deliver_test(test_folder_of_somebody_else_is_refused),
        deliver_test(test_name_that_both_folders_have_is_not_lost),
        deliver_test(test_what_only_bears_our_names_is_kept),
        deliver_test(test_what_dead_processes_left_goes),
        deliver_test(test_what_is_being_written_can_be_abandoned),
        deliver_test(test_remove),
        deliver_test(test_each_allocation_can_fail),
    };
    int failed = cmocka_run_group_tests_name("file system that knows all", tests, NULL, NULL);
    knows_flags = false;
    failed += cmocka_run_group_tests_name("without flags of rename", tests, NULL, NULL);
    knows_links = false;
    return failed + cmocka_run_group_tests_name("without links either", tests, NULL, NULL);
}

#include "support/support.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/plain_file.h"

static char folder[] = "/tmp/fieldfoci-plain-XXXXXX";

static int make_folder(void **state) {
    (void)state;
    return mkdtemp(folder) == NULL;
}

static int remove_folder(void **state) {
    (void)state;
    char command[128];
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command); /* NOLINT: a folder of our own making */
}

static const char *in_folder(const char *name) {
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static const char *file_of(const char *name, size_t size) {
    const char *path = in_folder(name);
    FILE *stream = fopen(path, "w");
    assert_non_null(stream);
    for (size_t i = 0; i < size; i++)
        assert_true(putc('a' + (int)(i % 26), stream) != EOF);
    assert_int_equal(fclose(stream), 0);
    return path;
}

static void test_whole_files(void **state) {
    (void)state;
    foci_error err = {0};
    size_t size = 0;
    for (size_t wanted = 0; wanted < 200000; wanted = wanted * 3 + 1) {
        char *bytes = foci_file_read(file_of("letters.txt", wanted), 1 << 20, &size, &err);
        assert_non_null(bytes);
        assert_int_equal(size, wanted);
        assert_int_equal(strlen(bytes), wanted);
        assert_true(wanted < 27 || bytes[26] == 'a');
        free(bytes);
    }
    assert_done(foci_file_check(file_of("letters.txt", 1), 1, &err), err);
}

static void test_what_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    size_t size = 0;
    assert_fails(foci_file_read("/no/such/file", 9, &size, &err), err, FOCI_NO_FILE, "no such file");
    assert_string_equal(err.source, "/no/such/file");
    assert_fails(foci_file_read(folder, 9, &size, &err), err, FOCI_NO_FILE, "is a folder");
    assert_fails(foci_file_read("/dev/zero", 9, &size, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_int_equal(mkfifo(in_folder("pipe"), 0600), 0);
    assert_fails(foci_file_read(in_folder("pipe"), 9, &size, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_fails(foci_file_open(in_folder("pipe"), 9, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_fails(foci_file_check(in_folder("pipe"), 9, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_fails(foci_file_check(file_of("empty", 0), 9, &err), err, FOCI_NO_FILE, "empty");
    assert_fails(foci_file_read(file_of("large", 10), 9, &size, &err), err, FOCI_NO_FILE, "larger than");
    /* a hole of 2 GB takes no room on the disk */
    assert_int_equal(truncate(file_of("huge", 1), 2L << 30), 0);
    assert_fails(foci_file_check(in_folder("huge"), FOCI_MOST_OF_TABLE, &err), err, FOCI_NO_FILE, "1024 MB");
    assert_fails(foci_file_check(in_folder("huge"), FOCI_MOST_OF_SUMMARY, &err), err, FOCI_NO_FILE, "64 MB");
    assert_fails(foci_file_check(in_folder("huge"), FOCI_MOST_OF_PROFILE, &err), err, FOCI_NO_FILE, " 1 MB");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole_files),
        cmocka_unit_test(test_what_is_refused),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}

#include "support/support.h"

#include "data/files/fingerprint.h"

static char first[] = "/tmp/fieldfoci-first-XXXXXX", second[] = "/tmp/fieldfoci-second-XXXXXX";

static void fill(const char *path, const char *text, int times) {
    FILE *stream = fopen(path, "w");
    assert_non_null(stream);
    for (int i = 0; i < times; i++)
        fputs(text, stream);
    assert_int_equal(fclose(stream), 0);
}

static int make_files(void **state) {
    (void)state;
    return mkstemp(first) < 0 || mkstemp(second) < 0;
}

static int remove_files(void **state) {
    (void)state;
    return remove(first) || remove(second);
}

/* The example messages of FIPS 180-2, appendix B.1 to B.3, and the empty message. */
static void test_published_examples(void **state) {
    (void)state;
    const struct {
        const char *text;
        int times;
        const char *hex;
    } examples[] = {
        {"abc", 1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1,
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
        {"a", 1000000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
        {"", 1, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
    };
    const char *files[] = {first};
    for (size_t i = 0; i < sizeof examples / sizeof *examples; i++) {
        foci_error err = {0};
        char hex[65] = "";
        fill(first, examples[i].text, examples[i].times);
        assert_done(foci_fingerprint_files(hex, files, 1, &err), err);
        assert_string_equal(hex, examples[i].hex);
    }
}

/* FIPS 180-4 names the same messages as its examples of SHA-256: one block, two blocks. */
static void test_published_examples_as_text(void **state) {
    (void)state;
    char hex[65] = "";
    foci_fingerprint_text(hex, "abc");
    assert_string_equal(hex, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    foci_fingerprint_text(hex, "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
    assert_string_equal(hex, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    foci_fingerprint_text(hex, "");
    assert_string_equal(hex, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

static void test_files_are_read_one_after_the_other(void **state) {
    (void)state;
    foci_error err = {0};
    char hex[65] = "", other[65] = "";
    const char *files[] = {first, second}, *turned[] = {second, first};
    fill(first, "a", 1);
    fill(second, "bc", 1);
    assert_done(foci_fingerprint_files(hex, files, 2, &err), err);
    assert_string_equal(hex, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_done(foci_fingerprint_files(other, turned, 2, &err), err);
    assert_string_not_equal(hex, other);
}

static void test_missing_file(void **state) {
    (void)state;
    foci_error err = {0};
    char hex[65] = "untouched";
    const char *missing[] = {"/no/such/file"}, *folder[] = {"/tmp"};
    assert_fails(foci_fingerprint_files(hex, missing, 1, &err), err, FOCI_NO_FILE, "no such file");
    assert_string_equal(err.source, "/no/such/file");
    assert_fails(foci_fingerprint_files(hex, folder, 1, &err), err, FOCI_NO_FILE, "is a folder");
    assert_string_equal(hex, "untouched");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_published_examples),
        cmocka_unit_test(test_published_examples_as_text),
        cmocka_unit_test(test_files_are_read_one_after_the_other),
        cmocka_unit_test(test_missing_file),
    };
    return cmocka_run_group_tests(tests, make_files, remove_files);
}

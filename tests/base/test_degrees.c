#include "base/degrees.h"

#include "support/support.h"

#define LATITUDE (42 + 58 / 60.0 + 30.36 / 3600)

static void angles_are_read_as_people_write_them(void **state) {
    (void)state;
    const struct {
        const char *text;
        double degrees;
        bool marked;
    } angles[] = {
        {"42\xC2\xB0"
         "58'30.36\"N",
         LATITUDE, true},
        {"42\xC2\xB0 58' 30.36'' N", LATITUDE, true},                       /* two single primes */
        {"42\xC2\xBA 58\xE2\x80\xB2 30,36\xE2\x80\xB3 S", -LATITUDE, true}, /* ordinal mark, primes */
        {"42\xC2\xB0"
         "58\xE2\x80\x99"
         "30.36\xE2\x80\x9DN",
         LATITUDE, true}, /* closing quotes */
        {"N 42 58 30.36", LATITUDE, true},
        {"s42:58:30.36", -LATITUDE, true},
        {"-42:58:30.36", -LATITUDE, false},
        {"42 58.506", LATITUDE, false},
        {"42 deg 58 min 30.36 sec n", LATITUDE, true},
        {"42.9751 N", 42.9751, true},
        {"42,9751\xC2\xB0", 42.9751, true},
        {"-0\xC2\xB0 30'", -0.5, true},
        {"\xE2\x88\x92"
         "42\xC2\xB0"
         "58'30.36\"",
         -LATITUDE, true},
        {"90\xC2\xB0 0' 0\" N", 90, true},
    };
    for (size_t i = 0; i < sizeof angles / sizeof *angles; i++) {
        foci_degrees angle;
        if (foci_degrees_parse(&angle, angles[i].text, false) != FOCI_DEGREES_READ)
            fail_msg("'%s' was refused", angles[i].text);
        assert_near(angle.degrees, angles[i].degrees, 1e-12);
        assert_int_equal(angle.marked, angles[i].marked);
    }
    foci_degrees angle;
    assert_int_equal(foci_degrees_parse(&angle, "122\xC2\xB0 25' 6\" W", true), FOCI_DEGREES_READ);
    assert_near(angle.degrees, -(122 + 25 / 60.0 + 6 / 3600.0), 1e-12);
}

static void angles_that_cannot_be_are_told(void **state) {
    (void)state;
    const struct {
        const char *text;
        bool east;
        const char *wrong;
    } angles[] = {
        {"42\xC2\xB0 60' N", false, "60 or more minutes"},
        {"42 58 61", false, "60 or more minutes"},
        {"42.5\xC2\xB0 30' N", false, "decimals before the last part"},
        {"91\xC2\xB0 N", false, "more than 90 degrees"},
        {"181\xC2\xB0 E", true, "more than 180 degrees"},
        {"-42\xC2\xB0 S", false, "a minus sign and the letter"},
        {"42\xC2\xB0 W", false, "a latitude with E or W"},
        {"42\xC2\xB0 N", true, "a longitude with N or S"},
        {"42\xC2\xB0 O", true, "east in some languages and west in others"},
    };
    for (size_t i = 0; i < sizeof angles / sizeof *angles; i++) {
        foci_degrees angle;
        assert_int_equal(foci_degrees_parse(&angle, angles[i].text, angles[i].east), FOCI_DEGREES_WRONG);
        assert_non_null(strstr(angle.wrong, angles[i].wrong));
    }
    const char *none[] = {
        "",     "42.9751", "-42,9751", "north", "N", "42 58 30 12", "42x", "42\xC2\xB0 58' north", "12 Elm Street",
        "NE 42"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (foci_degrees_parse(&(foci_degrees){0}, none[i], false) != FOCI_DEGREES_NONE)
            fail_msg("'%s' was taken for an angle", none[i]);
    assert_int_equal(foci_degrees_parse(&(foci_degrees){0}, NULL, true), FOCI_DEGREES_NONE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(angles_are_read_as_people_write_them),
        cmocka_unit_test(angles_that_cannot_be_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The papers that sheets are printed on. */
#include "fieldfoci/paper.h"

#include "support/support.h"

/* Letter: 11 by 8.5 inches of 72 points (ANSI/ASME Y14.1); A4: 297 by 210 mm (ISO 216) of 72/25.4 points. */
static void papers_have_their_size(void **state) {
    (void)state;
    const foci_paper *letter = foci_paper_find("letter"), *a4 = foci_paper_find("a4");
    assert_non_null(letter);
    assert_near(letter->width, 792, 0);
    assert_near(letter->height, 612, 0);
    assert_non_null(a4);
    assert_near(a4->width, 841.8897637795, 1e-9);
    assert_near(a4->height, 595.2755905512, 1e-9);
}

static void every_paper_lies_on_its_side(void **state) {
    (void)state;
    for (const foci_paper *row = foci_paper_table; row->name; row++) {
        assert_true(row->width > row->height && row->height > 0);
        assert_ptr_equal(foci_paper_find(row->name), row);
    }
}

static void the_first_is_the_standard_one(void **state) {
    (void)state;
    assert_ptr_equal(foci_paper_find(NULL), &foci_paper_table[0]);
    assert_null(foci_paper_find("Letter "));
    assert_null(foci_paper_find(""));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(papers_have_their_size),
        cmocka_unit_test(every_paper_lies_on_its_side),
        cmocka_unit_test(the_first_is_the_standard_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The order of what is said beside a survey's numbers: what prevents harm, then how far to trust it. */
#include "decide/words/cautions.h"

#include <math.h>

#include "decide/words/warnings.h"
#include "support/support.h"

static char hear[] = "Hear the laboratory.", late[] = "It is past flowering.", next[] = "rotate longer";
static char first[] = "Mind the first.", second[] = "Mind the second.", margin[] = "Reach past the hits.",
            source[] = "";
static foci_fact cautions[] = {{first, source}, {second, source}};

static foci_profile profile(void) {
    return (foci_profile){.laboratory = true,
                          .laboratory_why = {hear, source},
                          .too_late = {late, source},
                          .too_late_in_season = true,
                          .next_season = next,
                          .margin = {margin, source},
                          .caution_count = 2,
                          .cautions = cautions};
}

/* The words stand in the sentences in this order, each in one of its own. */
static void assert_order(const foci_sentences *sentences, const char *const *words) {
    size_t at = 0;
    for (; *words; words++) {
        while (at < sentences->count && !strstr(sentences->items[at], *words))
            at++;
        if (at == sentences->count)
            fail_msg("'%s' is missing or out of order", *words);
        at++;
    }
}

/* The disease's own cautions, the label, setbacks, dig first; that it is an estimate comes last. */
static void what_prevents_harm_comes_first(void **state) {
    (void)state;
    char dates[] = "2026-08-18";
    foci_survey round = {.has_profile = true, .profile = profile(), .first_date = dates, .last_date = dates};
    foci_error err = {0};
    round.readings.count = 37;
    assert_done(foci_cautions_make(&round, &err), err);
    assert_order(&round.cautions,
                 (const char *const[]){"Hear the laboratory.",
                                       "It is past flowering. What can still be done: rotate longer", "Mind the first.",
                                       "Mind the second.", "Reach past the hits.", "The label is the law", "setbacks",
                                       "dig and look", "An estimate from 37 stops", NULL});
    assert_ptr_equal(strstr(round.cautions.items[0], "A laboratory's word is needed"), round.cautions.items[0]);
    foci_sentences_free(&round.cautions);
    round.has_profile = false;
    assert_done(foci_cautions_make(&round, &err), err);
    assert_ptr_equal(strstr(round.cautions.items[0], "The label is the law"), round.cautions.items[0]);
    foci_sentences_free(&round.cautions);
}

/* What the data checks found out about the map's worth is a warning too, before what the method had to say; a finding
 * without such words, and one that names an option, stays a finding. */
static void findings_that_change_trust_are_warnings(void **state) {
    (void)state;
    foci_survey round = {.threshold = NAN};
    foci_error err = {0};
    round.pattern.verdict = FOCI_VERDICT_PATCHY;
    round.digs = (foci_dig_points){.wanted = 10, .count = 7};
    assert_done(foci_sentences_add(&round.warnings, &err, "The method says so.") &&
                    foci_findings_add(&round.findings, "a", FOCI_NOTE, NULL, NULL, 0, &err, "Use --from and --to.") &&
                    foci_findings_add(&round.findings, "b", FOCI_NOTE, NULL, NULL, 0, &err, "Too long; use --from.") &&
                    foci_findings_trust(&round.findings, &err, "It took %d days.", 19) &&
                    foci_warnings_make(&round, &err),
                err);
    assert_order(&round.warnings,
                 (const char *const[]){"It took 19 days.", "The method says so.", "Only 7 of 10 dig-checks", NULL});
    for (size_t i = 0; i < round.warnings.count; i++)
        assert_null(strstr(round.warnings.items[i], "--"));
    foci_sentences_free(&round.warnings);
    foci_findings_free(&round.findings);
}

static bool attempt(foci_error *err) {
    char dates[] = "";
    foci_survey round = {.has_profile = true, .profile = profile(), .first_date = dates, .last_date = dates};
    const bool ok = foci_sentences_add(&round.warnings, err, "The method says so.") &&
                    foci_findings_add(&round.findings, "b", FOCI_NOTE, NULL, NULL, 0, err, "A finding.") &&
                    foci_findings_trust(&round.findings, err, "It took %d days.", 19) &&
                    foci_cautions_make(&round, err) && foci_warnings_make(&round, err);
    foci_sentences_free(&round.cautions);
    foci_sentences_free(&round.warnings);
    foci_findings_free(&round.findings);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_prevents_harm_comes_first),
        cmocka_unit_test(findings_that_change_trust_are_warnings),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

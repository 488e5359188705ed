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

/* ---- stops that crowd the bad spots ---- */

enum { EVEN = 36, ALL = 56 };

/* 6 x 6 stops 30 m apart, of which the four in the south-west have `bad` of 50 infected and the others one or two; then
 * `more` stops within 20 m of the stop `at`, which have as many as that. */
static bool crowded_round(foci_survey *round, double bad, size_t at, size_t more, foci_error *err) {
    foci_point places[ALL];
    double hits[ALL], checked[ALL];
    for (size_t i = 0; i < EVEN + more; i++) {
        const size_t k = i - EVEN, across = k % 5, up = k / 5, column = i % 6, row = i / 6;
        const bool is_bad = i < EVEN && column < 2 && row < 2;
        places[i] =
            i < EVEN ? (foci_point){30 * (double)column, 30 * (double)row}
                     : (foci_point){places[at].x + 3.1 + 3.7 * (double)across, places[at].y + 2.9 + 4.1 * (double)up};
        hits[i] = i < EVEN ? (is_bad ? bad : 1 + (double)(i * 7 % 5 % 2)) : hits[at];
        checked[i] = 50;
    }
    *round = (foci_survey){.used = {.seed = 1}};
    round->stops.kind = FOCI_READING_COUNT;
    return foci_readings_of_counts(&round->readings, places, hits, checked, EVEN + more, err);
}

static size_t crowding_found(double bad, size_t at, size_t more) {
    foci_survey round;
    foci_error err = {0};
    assert_done(crowded_round(&round, bad, at, more, &err) && foci_find_crowding(&round, &err), err);
    const size_t found = round.findings.count;
    foci_readings_free(&round.readings);
    foci_findings_free(&round.findings);
    return found;
}

/* The plain mean is (4 x 20 + 20 x 20 + 32 stops with 1 or 2) / 56 of 50. Weighted by ground it comes near to that of
 * the even stops alone, 7 % (a cluster's rim takes a share of its neighbors' cells). */
static void stops_that_crowd_the_bad_spot_are_told(void **state) {
    (void)state;
    foci_survey round;
    foci_error err = {0};
    double plain = 0, even = 0;
    assert_done(crowded_round(&round, 20, 0, 20, &err) && foci_find_crowding(&round, &err), err);
    assert_int_equal(round.findings.count, 1);
    const foci_finding *finding = &round.findings.items[0];
    assert_string_equal(finding->what, "crowded stops");
    assert_int_equal(finding->severity, FOCI_WARNING);
    const char *words = strstr(finding->text, "stands for it is ");
    assert_non_null(words);
    assert_int_equal(sscanf(words, "stands for it is %lf, not %lf", &even, &plain), 2);
    double sum = 0, spread = 0;
    for (size_t i = 0; i < ALL; i++) {
        sum += 2 * round.readings.hits[i] / ALL;
        spread += i < EVEN ? 2 * round.readings.hits[i] / EVEN : 0;
    }
    assert_near(plain, sum, 0.06);
    assert_near(even, spread, 0.2 * spread);
    assert_non_null(strstr(finding->text, "--pattern gaps"));
    assert_null(strstr(finding->trust, "--"));
    foci_readings_free(&round.readings);
    foci_findings_free(&round.findings);
}

static void other_stops_are_not_said_to_crowd(void **state) {
    (void)state;
    assert_int_equal(crowding_found(20, 0, 20), 1);
    assert_int_equal(crowding_found(20, 0, 0), 0);   /* evenly spread */
    assert_int_equal(crowding_found(20, 27, 20), 0); /* crowded where there is little */
}

static bool attempt_crowding(foci_error *err) {
    foci_survey round;
    const bool ok = crowded_round(&round, 20, 0, 20, err) && foci_find_crowding(&round, err);
    foci_readings_free(&round.readings);
    foci_findings_free(&round.findings);
    return ok;
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
    support_fail_each_allocation(attempt_crowding);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_prevents_harm_comes_first),
        cmocka_unit_test(findings_that_change_trust_are_warnings),
        cmocka_unit_test(stops_that_crowd_the_bad_spot_are_told),
        cmocka_unit_test(other_stops_are_not_said_to_crowd),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include <math.h>
#include <string.h>

#include "commands.h"

static void print_test(const char *name, const foci_pattern_test *test) {
    if (isnan(test->value))
        console_put("%-28s not defined for these readings\n", name);
    else
        console_put("%-28s %.4g (expected %.4g), z %.2f, P %.3g, by permutation %.3g\n", name, test->value,
                    test->expectation, test->z, test->p, test->permuted_p);
}

static void print_number(const char *name, double number) {
    if (!isnan(number))
        console_put("%-28s %.4g\n", name, number);
}

static void print_counts(const foci_pattern *pattern) {
    const foci_incidence_dispersion *incidence = &pattern->incidence;
    const foci_count_dispersion *counts = &pattern->counts;
    if (!isnan(incidence->dispersion))
        console_put("%-28s %.4g, P %.3g; C(alpha) z %.2f, P %.3g\n", "index of dispersion D", incidence->dispersion,
                    incidence->p, incidence->c_alpha_z, incidence->c_alpha_p);
    if (!isnan(incidence->theta))
        console_put("%-28s share %.4g, theta %.4g, rho %.4g\n", "beta-binomial", incidence->beta_share,
                    incidence->theta, incidence->rho);
    if (!isnan(counts->ratio))
        console_put("%-28s %.4g, P %.3g\n", "variance to mean", counts->ratio, counts->p);
    print_number("Morisita's index", counts->morisita);
    print_number("Lloyd's patchiness", counts->patchiness);
    print_number("negative binomial k", counts->k);
}

static void print_pattern(const foci_survey *round) {
    const foci_pattern *pattern = &round->pattern;
    char spacing[FOCI_WORDS_SIZE], band[FOCI_WORDS_SIZE];
    foci_words_length(spacing, pattern->spacing, FOCI_ACRES);
    foci_words_length(band, pattern->band, FOCI_ACRES);
    console_put("%s: %s\n", foci_verdict_name(pattern->verdict), pattern->why);
    print_number("weight of no pattern", pattern->no_pattern);
    print_number("P that it is chance", pattern->likeness_p);
    console_put("\n");
    console_put("%zu stops, %s apart; neighbors within %s, %.1f a stop, %zu without any\n", pattern->count, spacing,
                band, pattern->neighbours, pattern->isolated);
    console_put("field average %.4g %s, 90 %% interval %.4g to %.4g; declustered %.4g%s\n\n", pattern->field.mean.value,
                round->stops.unit, pattern->field.mean.low, pattern->field.mean.high, pattern->field.declustered,
                pattern->field.preferential ? " (stops crowd the bad spots)" : "");
    print_test("Moran's I", &pattern->moran);
    print_test("Geary's C", &pattern->geary);
    print_test("General G", &pattern->general_g);
    if (pattern->transport.left_out)
        console_put("%-28s left out: %s\n", "transport distance index", pattern->transport.left_out);
    else if (!isnan(pattern->transport.index))
        console_put("%-28s %.4g, P %.3g\n", "transport distance index", pattern->transport.index, pattern->transport.p);
    print_counts(pattern);
}

int command_pattern(const foci_settings *settings) {
    foci_error err = {0};
    foci_survey survey = {0};
    int status = EXIT_DONE;
    const foci_execution how = console_execution(settings);
    bool ok = console_read(&survey, settings, &err) && foci_survey_check(&survey, &err) &&
              foci_survey_fit(&survey, &how, &err);
    console_execution_end(&how);
    ok = ok && (!settings->out || foci_survey_write_local_tests(&survey, settings->out, settings->overwrite, &err));
    if (!ok) {
        status = console_fail(&err);
    } else {
        console_findings(settings->quiet, &survey.findings);
        if (settings->json)
            status = console_print(foci_survey_pattern_summary(&survey, &err), &err);
        else
            print_pattern(&survey);
    }
    foci_survey_free(&survey);
    return status;
}

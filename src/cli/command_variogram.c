#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"

static void print_model(const foci_variogram *model) {
    char reach[FOCI_WORDS_SIZE];
    foci_words_length(reach, foci_variogram_practical_range(model), FOCI_ACRES);
    console_put("\nmodel %s (%s): nugget %.6g, partial sill %.6g, range %.6g m", model->kind->name, model->fit,
                model->nugget, model->partial_sill, model->range);
    if (model->kind->has_smoothness)
        console_put(", smoothness %.3g", model->smoothness);
    if (model->ratio < 1)
        console_put(", heading %.4g, ratio %.3g", model->heading, model->ratio);
    console_put("; likeness fades out by about %s\n", reach);
}

static void print_table(const foci_semivariances *semivariances) {
    console_put("%10s %12s %12s %14s\n", "pairs", "distance ft", "distance m", "semivariance");
    for (size_t i = 0; i < semivariances->count; i++)
        console_put("%10zu %12.1f %12.2f %14.6g\n", semivariances->bins[i].pairs,
                    semivariances->bins[i].distance * FOCI_FEET_PER_METER, semivariances->bins[i].distance,
                    semivariances->bins[i].semivariance);
}

static int show(const foci_settings *settings, const foci_semivariances *semivariances, const foci_variogram *model,
                const foci_survey *survey) {
    foci_error err = {0};
    if (settings->out &&
        !foci_survey_draw_variogram(survey, semivariances, model, settings->out, settings->overwrite, &err))
        return console_fail(&err);
    if (settings->json)
        return console_print(foci_variogram_summary(semivariances, model, &err), &err);
    if (settings->out) {
        if (!settings->quiet)
            console_put("written: %s\n", settings->out);
        return EXIT_DONE;
    }
    print_table(semivariances);
    if (model)
        print_model(model);
    return EXIT_DONE;
}

static void say_sample(bool quiet, const foci_semivariances *semivariances, size_t stops) {
    char text[200];
    snprintf(text, sizeof text,
             "so many stops have too many pairs: these are those of %zu of the %zu stops, drawn at random (the same "
             "each time); a smaller --farthest takes more of them in",
             semivariances->stops, stops);
    if (semivariances->stops < stops)
        console_say(quiet, "note", text);
}

/* A model that was given whole is that; else one is fitted, and `fit_error` says why there is none. */
static bool find_model(foci_variogram *out, const foci_variogram *wanted, const foci_semivariances *semivariances,
                       foci_error *fit_error) {
    if (wanted->kind && !isnan(wanted->range)) {
        *out = *wanted;
        return true;
    }
    return foci_variogram_fit(out, semivariances, wanted->kind, wanted->smoothness, fit_error) ||
           fit_error->status != FOCI_NO_MEMORY;
}

int command_variogram(const foci_settings *settings) {
    const foci_surface_options *options = &settings->survey.surface;
    foci_error err = {0}, fit_error = {0};
    foci_survey survey = {0};
    foci_semivariances semivariances = {0};
    foci_variogram model = {0};
    char text[1024];
    int status = EXIT_FAILED;
    if (!console_read(&survey, settings, &err) || !foci_survey_check(&survey, &err) ||
        !foci_semivariances_make(&semivariances, &survey.readings, options->lag, options->farthest, &err)) {
        status = console_fail(&err);
    } else if (!find_model(&model, &settings->survey.variogram, &semivariances, &fit_error)) {
        status = console_fail(&fit_error);
    } else {
        status = show(settings, &semivariances, model.kind ? &model : NULL, &survey);
        if (status == EXIT_DONE) {
            console_findings(settings->quiet, &survey.findings);
            say_sample(settings->quiet, &semivariances, survey.readings.count);
            foci_error_text(&fit_error, "--", text, sizeof text);
            if (fit_error.status != FOCI_OK)
                console_say(settings->quiet, "warning", text);
        }
    }
    foci_semivariances_free(&semivariances);
    foci_survey_free(&survey);
    return status;
}

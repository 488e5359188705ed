/* From stops in memory to zones, hotspots and a survey folder. Built and run by tests/scripted/test_install.sh. */
#include <fieldfoci/fieldfoci.h>
#include <math.h>
#include <stdio.h>

enum { STOPS = 48 };

int main(void) {
    foci_point place[STOPS], corner[] = {{-84.500, 31.500}, {-84.496, 31.500}, {-84.496, 31.503}, {-84.500, 31.503}};
    double infected[STOPS], checked[STOPS];
    for (int i = 0; i < STOPS; i++) { /* invented: a pocket in the south-west corner */
        const double x = i % 8 + 0.5, y = i / 8 + 0.5;
        place[i] = (foci_point){-84.500 + 0.0005 * x, 31.500 + 0.0005 * y}; /* longitude, latitude */
        checked[i] = 30;
        infected[i] = floor(14 * exp(-(x * x + y * y) / 8) + i * 7 % 3);
    }

    foci_error err = {0};
    foci_survey survey = {0};
    foci_survey_options options = foci_survey_options_make();
    const foci_stop_arrays stops = {.count = STOPS, .lonlat = place, .hits = infected, .checked = checked};
    foci_ring ring = {4, corner};
    foci_polygon polygon = {1, &ring};
    const foci_multipolygon boundary = {1, &polygon};
    options.surface.threshold = 15; /* percent of plants */
    options.row_heading = 6;        /* degrees from true north */
    options.cell = 5;               /* meters */
    bool ok = foci_survey_take(&survey, &options, &stops, "North Forty", &boundary, &err) &&
              foci_survey_check(&survey, &err) && foci_survey_fit(&survey, NULL, &err) &&
              foci_survey_estimate(&survey, NULL, &err) && foci_survey_decide(&survey, NULL, &err) &&
              foci_map_write_png(&survey, "map.png", &err) && foci_survey_write(&survey, "survey", false, &err);
    for (size_t i = 0; ok && i < survey.hotspots.count; i++)
        printf("%.2f ha, chance %.2f\n", survey.hotspots.items[i].area_ha, survey.hotspots.items[i].chance);
    if (!ok) {
        char line[1024];
        foci_error_line(&err, line, sizeof line);
        fprintf(stderr, "%s\n", line);
    }
    foci_survey_free(&survey);
    return !ok;
}

#include "keep/survey_folder.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "base/text.h"
#include "data/files/fingerprint.h"
#include "keep/job_files.h"

enum { LAYERS = FOCI_LAYER_DIGS + 1 };

void foci_survey_folder_free(foci_survey_folder *folder) {
    free(folder->path);
    free(folder->summary);
    free(folder->layers_file);
    foci_json_free(folder->root);
    for (size_t i = 0; i < LAYERS; i++)
        foci_table_free(&folder->layers[i]);
    *folder = (foci_survey_folder){0};
}

static const char *or_blank(const char *text) {
    return text ? text : "";
}

const char *foci_survey_folder_text(const foci_survey_folder *folder, const char *key, const char *below) {
    const foci_json *value = foci_json_get(folder->root, key);
    return or_blank(foci_json_text(below ? foci_json_get(value, below) : value));
}

double foci_survey_folder_number(const foci_survey_folder *folder, const char *key, const char *below) {
    double number = NAN;
    return foci_json_number(foci_json_get(foci_json_get(folder->root, key), below), &number) ? number : NAN;
}

/* ---- its files ---- */

bool foci_survey_folder_open(foci_survey_folder *out, const char *path, foci_error *err) {
    foci_survey_folder folder = {.path = foci_copy_text(path, err)};
    bool ok = folder.path && (folder.summary = foci_format_text(err, "%s/survey.json", path)) &&
              (folder.layers_file = foci_format_text(err, "%s/survey.gpkg", path));
    if (ok && access(folder.summary, F_OK) != 0)
        ok = foci_fail(err, FOCI_NO_FILE, path, 0,
                       "is no survey folder: it holds no survey.json; name a folder that the command map wrote");
    ok = ok && foci_json_read(&folder.root, folder.summary, FOCI_MOST_OF_SUMMARY, err);
    if (ok)
        *out = folder;
    else
        foci_survey_folder_free(&folder);
    return ok;
}

bool foci_survey_folder_take_layers(foci_survey_folder *folder, const bool wanted[LAYERS], foci_error *err) {
    const char *names[LAYERS] = {NULL};
    for (size_t i = 0; i < LAYERS; i++)
        names[i] = wanted[i] ? foci_layers[i].name : NULL;
    return foci_table_read_layers(folder->layers, folder->layers_file, names, LAYERS, err);
}

static bool check_summary(const foci_survey_folder *folder, foci_error *err) {
    if (strcmp(foci_survey_folder_text(folder, "program", "name"), "fieldfoci") == 0 &&
        foci_json_is_object(foci_json_get(folder->root, "job")) &&
        foci_json_size(foci_json_get(folder->root, "inputs")) > 0)
        return true;
    return foci_fail(err, FOCI_BAD_INPUT, folder->summary, 0, "is no survey's summary, as the command map writes it");
}

/* A survey may have no zones or digs; the layer is then empty, which the reader would refuse. */
static bool expects(const foci_json *root, size_t table) {
    if (table == FOCI_LAYER_ZONES)
        return !foci_json_text(foci_json_get(root, "no_zones_why"));
    if (table == FOCI_LAYER_DIGS)
        return foci_json_size(foci_json_get(root, "digs")) > 0;
    return true;
}

static bool read_layers(foci_survey_folder *folder, foci_error *err) {
    bool wanted[LAYERS];
    for (size_t i = 0; i < LAYERS; i++)
        wanted[i] = expects(folder->root, i);
    if (!foci_survey_folder_take_layers(folder, wanted, err))
        return false;
    return folder->layers[FOCI_LAYER_FIELD].shapes[0].kind == FOCI_SHAPE_AREA ||
           foci_fail(err, FOCI_BAD_INPUT, folder->layers_file, 0, "its layer 'field' holds no polygon");
}

/* What the summary says of the layers is what they hold. */
static bool check_stops(const foci_survey_folder *folder, foci_error *err) {
    const double used = foci_survey_folder_number(folder, "stops", "used");
    const size_t rows = folder->layers[FOCI_LAYER_STOPS].row_count;
    return (used >= 0 && used <= (double)rows && used == floor(used)) ||
           foci_fail(err, FOCI_BAD_INPUT, folder->summary, 0,
                     "its stops.used (%g) is no count of the %zu stops that survey.gpkg holds; map the survey again",
                     used, rows);
}

/* ---- what it is, by content ---- */

static bool add_job(foci_text *text, const foci_json *job, foci_error *err) {
    const char *option = NULL;
    while ((option = foci_json_key_after(job, option)) != NULL) {
        if (foci_job_names_files(option))
            continue; /* where the same file lies does not make another survey */
        char *value = foci_json_print(foci_json_get(job, option), err);
        bool ok = value && foci_text_add(text, err, "%s %s\n", option, value);
        free(value);
        if (!ok)
            return false;
    }
    return true;
}

static bool name_survey(foci_survey_folder *folder, foci_error *err) {
    foci_text text = {0};
    const foci_json *inputs = foci_json_get(folder->root, "inputs");
    const char *earlier = foci_survey_folder_text(folder, "earlier", "sha256");
    bool ok = foci_text_add(&text, err, "season %s\ndisease %s\n", foci_survey_folder_text(folder, "season", NULL),
                            foci_survey_folder_text(folder, "disease", "name"));
    for (size_t i = 0; ok && i < foci_json_size(inputs); i++)
        ok = foci_text_add(&text, err, "input %s\n",
                           or_blank(foci_json_text(foci_json_get(foci_json_at(inputs, i), "sha256"))));
    if (ok && *earlier)
        ok = foci_text_add(&text, err, "earlier %s\n", earlier);
    ok = ok && add_job(&text, foci_json_get(folder->root, "job"), err);
    if (ok)
        foci_fingerprint_text(folder->sha256, text.text);
    foci_text_free(&text);
    return ok;
}

static bool add_polygon(foci_text *text, const foci_polygon *polygon, foci_error *err) {
    for (size_t r = 0; r < polygon->count; r++)
        for (size_t i = 0; i < polygon->rings[r].count; i++)
            if (!foci_text_add(text, err, "%zu %.17g %.17g\n", r, polygon->rings[r].points[i].x,
                               polygon->rings[r].points[i].y))
                return false;
    return true;
}

static bool name_field(foci_survey_folder *folder, foci_error *err) {
    foci_text text = {0};
    const foci_multipolygon *area = &folder->layers[FOCI_LAYER_FIELD].shapes[0].area;
    bool ok = foci_text_add(&text, err, "%s\n", foci_survey_folder_text(folder, "field", "name"));
    for (size_t p = 0; ok && p < area->count; p++)
        ok = foci_text_add(&text, err, "polygon\n") && add_polygon(&text, &area->polygons[p], err);
    if (ok)
        foci_fingerprint_text(folder->field_id, text.text);
    foci_text_free(&text);
    return ok;
}

bool foci_survey_folder_read(foci_survey_folder *out, const char *path, foci_error *err) {
    foci_survey_folder folder = {0};
    bool ok = foci_survey_folder_open(&folder, path, err) && check_summary(&folder, err) && read_layers(&folder, err) &&
              check_stops(&folder, err) && name_survey(&folder, err) && name_field(&folder, err);
    if (ok)
        *out = folder;
    else
        foci_survey_folder_free(&folder);
    return ok;
}

/* A survey folder, read again. */
#ifndef FOCI_KEEP_SURVEY_FOLDER_H
#define FOCI_KEEP_SURVEY_FOLDER_H

#include "data/files/json_file.h"
#include "keep/layers.h"

typedef struct {
    char *path;                             /* as it was named; owned, as what follows */
    char *summary, *layers_file;            /* its survey.json and survey.gpkg */
    foci_json *root;                        /* survey.json */
    foci_table layers[FOCI_LAYER_DIGS + 1]; /* as the history's tables; surveys stay empty */
    char sha256[65];   /* what it is, by content: season, disease, inputs' sha256 and job without the names of files */
    char field_id[65]; /* what its field is: name and boundary */
} foci_survey_folder;

/* Its survey.json, whoever wrote that; no layer yet. FOCI_NO_FILE: no survey folder. */
bool foci_survey_folder_open(foci_survey_folder *out, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Layers of a folder that is open, those whose place is marked, as they are: none of them may be missing or empty. */
bool foci_survey_folder_take_layers(foci_survey_folder *folder, const bool wanted[FOCI_LAYER_DIGS + 1],
                                    foci_error *err) FOCI_MUST_CHECK;

/* All of it, as the command map wrote it. FOCI_NO_FILE, FOCI_BAD_INPUT: no survey folder. */
bool foci_survey_folder_read(foci_survey_folder *out, const char *path, foci_error *err) FOCI_MUST_CHECK;
void foci_survey_folder_free(foci_survey_folder *folder);

/* What survey.json has under `key`, or under `below` in it; "" and NaN where it has none. */
const char *foci_survey_folder_text(const foci_survey_folder *folder, const char *key, const char *below);
double foci_survey_folder_number(const foci_survey_folder *folder, const char *key, const char *below);

#endif

#include <string.h>

#include "desk/page_files.h"
#include "desk/rooms.h"

/* The visits of the invented farm, with the choices that the demo makes. */
static const struct sample {
    const char *visit, *field, *stops, *job;
} samples[] = {
    {"sample-soybean-2024", "field.geojson", "stops-2024.csv",
     "\"hits\":\"infected\",\"checked\":\"checked\",\"id\":\"stop\",\"when\":\"date\","
     "\"disease\":\"sclerotinia-stem-rot-of-soybean\",\"threshold\":10,\"row-heading\":6,\"season\":\"2024\""},
    {"sample-soybean-2026", "field.geojson", "stops-2026.csv",
     "\"hits\":\"infected\",\"checked\":\"checked\",\"id\":\"stop\",\"when\":\"date\","
     "\"disease\":\"sclerotinia-stem-rot-of-soybean\",\"threshold\":10,\"row-heading\":6,\"season\":\"2026\""},
    {"sample-peanut-2026", "peanut-field.geojson", "peanut-stops-2026.csv",
     "\"id\":\"stop\",\"when\":\"date\",\"disease\":\"southern-stem-rot-of-peanut\",\"threshold\":5,"
     "\"row-heading\":86,\"swath\":\"20ft\",\"least-run\":\"30ft\",\"margin\":\"10ft\""},
};

static const desk_page_file *find(const char *name) {
    for (const desk_page_file *file = desk_page_files; file->name; file++)
        if (strcmp(file->name, name) == 0)
            return file;
    return NULL;
}

/* The boundary lies on the shelf once, whatever becomes of the visits. */
static bool put_field(desk_state *desk, const char *file, char name[DESK_NAME_SIZE], foci_error *err) {
    const desk_page_file *field = find(file);
    snprintf(name, DESK_NAME_SIZE, "sample-%s", file);
    return desk_folder_has(&desk->folder, DESK_FIELDS, name, false) ||
           desk_keep_bytes(desk, DESK_FIELDS, NULL, false, name, field->text, field->size, err);
}

static bool put_visit(desk_state *desk, const struct sample *sample, char visit[DESK_NAME_SIZE], foci_error *err) {
    const desk_page_file *stops = find(sample->stops);
    char field[DESK_NAME_SIZE], name[DESK_NAME_SIZE], job_name[DESK_NAME_SIZE] = "job.json", job[1024];
    if (!put_field(desk, sample->field, field, err) ||
        !desk_folder_make(&desk->folder, DESK_INBOX, sample->visit, visit, err))
        return false;
    snprintf(name, sizeof name, "%s", sample->stops);
    if (!desk_keep_bytes(desk, DESK_INBOX, visit, false, name, stops->text, stops->size, err))
        return false;
    const int length = snprintf(job, sizeof job, "{\"job\":{\"field\":\"../../fields/%s\",\"stops\":[\"%s\"],%s}}\n",
                                field, name, sample->job);
    return desk_keep_bytes(desk, DESK_INBOX, visit, true, job_name, job, (size_t)length, err);
}

desk_answer desk_serve_sample(desk_state *desk, desk_request *request) {
    const char *crop = desk_request_argument(request, "crop");
    const char *between = "";
    char wish[64];
    desk_writer writer;
    snprintf(wish, sizeof wish, "sample-%s-", crop ? crop : "soybean");
    desk_writer_begin(&writer);
    if (writer.out)
        fputs("{\"visits\":[", writer.out);
    for (size_t i = 0; writer.out && i < sizeof samples / sizeof *samples; i++) {
        char visit[DESK_NAME_SIZE];
        foci_error err = {0};
        if (strncmp(samples[i].visit, wish, strlen(wish)) != 0)
            continue;
        if (!put_visit(desk, &samples[i], visit, &err)) {
            desk_answer lost = desk_writer_end(&writer, 500);
            desk_answer_free(&lost);
            return desk_answer_error(&err);
        }
        fputs(between, writer.out);
        desk_put_text(writer.out, visit);
        between = ",";
    }
    if (writer.out)
        fputs("]}", writer.out);
    return desk_writer_end(&writer, 201);
}

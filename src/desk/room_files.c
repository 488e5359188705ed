#include <string.h>

#include "desk/rooms.h"

/* What may be shown of a survey or comparison, and how. */
static const struct shown {
    const char *name, *type;
    bool made;    /* a page made from user text */
    bool to_keep; /* a browser saves it */
} shown[] = {
    {"map.png", "image/png", false, false},
    {"map.pdf", "application/pdf", false, false},
    {"report.html", "text/html; charset=utf-8", true, false},
    {"letter.html", "text/html; charset=utf-8", true, false},
    {"letter.txt", "text/plain; charset=utf-8", false, false},
    {"survey.json", "application/json", false, false},
    {"survey.gpkg", "application/geopackage+sqlite3", false, true},
    {"digs.gpx", "application/gpx+xml", false, true},
    {"severity.tif", "image/tiff", false, true},
    {"deviation.tif", "image/tiff", false, true},
    {"low.tif", "image/tiff", false, true},
    {"high.tif", "image/tiff", false, true},
    {"chance.tif", "image/tiff", false, true},
    {"persistence.png", "image/png", false, false},
    {"persistence.pdf", "application/pdf", false, false},
    {"persistence.tif", "image/tiff", false, true},
    {"persistence.gpkg", "application/geopackage+sqlite3", false, true},
    {"classes.tif", "image/tiff", false, true},
    {"seasons.json", "application/json", false, false},
};

static desk_answer serve_shown(desk_state *desk, desk_shelf shelf, const char *entry, const char *name) {
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        if (strcmp(shown[i].name, name) != 0)
            continue;
        const int file = desk_folder_read(&desk->folder, shelf, entry, shown[i].name);
        if (file < 0)
            break;
        desk_answer answer = desk_answer_file(shown[i].type, file);
        if (shown[i].made)
            answer.policy = desk->report_policy;
        if (shown[i].to_keep)
            snprintf(answer.save_as, sizeof answer.save_as, "%s", shown[i].name);
        return answer;
    }
    return desk_answer_say(404, "there is no such file");
}

/* None of a map that has been made anew since: the zones may be others now. */
static desk_answer serve_sprayer(desk_state *desk, const char *survey) {
    const double made = desk_folder_changed(&desk->folder, DESK_INBOX, survey, DESK_SPRAYER);
    const double mapped = desk_folder_changed(&desk->folder, DESK_SURVEYS, survey, "survey.json");
    const int file = made >= mapped ? desk_folder_read(&desk->folder, DESK_INBOX, survey, DESK_SPRAYER) : -1;
    if (file < 0)
        return desk_answer_say(404, "there are no files for the sprayer that belong to this map");
    desk_answer answer = desk_answer_file("application/zip", file);
    snprintf(answer.save_as, sizeof answer.save_as, DESK_SPRAYER);
    return answer;
}

desk_answer desk_serve_survey_file(desk_state *desk, desk_request *request) {
    if (strcmp(request->parts[1], DESK_SPRAYER) == 0)
        return serve_sprayer(desk, request->parts[0]);
    return serve_shown(desk, DESK_SURVEYS, request->parts[0], request->parts[1]);
}

desk_answer desk_serve_seasons_file(desk_state *desk, desk_request *request) {
    return serve_shown(desk, DESK_SEASONS, request->parts[0], request->parts[1]);
}

/* A file as somebody brought it: to be saved, never shown by a browser as what it might pretend to be. */
static desk_answer serve_original(int file) {
    if (file < 0)
        return desk_answer_say(404, "there is no such file");
    desk_answer answer = desk_answer_file("application/octet-stream", file);
    if (answer.status == 200)
        snprintf(answer.save_as, sizeof answer.save_as, "original");
    return answer;
}

desk_answer desk_serve_field(desk_state *desk, desk_request *request) {
    return serve_original(desk_folder_read(&desk->folder, DESK_FIELDS, NULL, request->parts[0]));
}

desk_answer desk_serve_plan(desk_state *desk, desk_request *request) {
    const char *name = request->parts[0], *ending = strrchr(name, '.');
    const int file = desk_folder_read(&desk->folder, DESK_PLANS, NULL, name);
    if (file < 0)
        return desk_answer_say(404, "there is no such walk");
    const bool is_page = ending && strcmp(ending, ".pdf") == 0;
    desk_answer answer = desk_answer_file(is_page ? "application/pdf" : "application/octet-stream", file);
    if (!is_page && answer.status == 200)
        snprintf(answer.save_as, sizeof answer.save_as, "walk%s", ending && strlen(ending) < 12 ? ending : "");
    return answer;
}

desk_answer desk_serve_visit_file(desk_state *desk, desk_request *request) {
    const char *name = request->parts[1];
    const int file = desk_folder_read(&desk->folder, DESK_INBOX, request->parts[0], name);
    if (file < 0 || (strcmp(name, "job.json") != 0 && strcmp(name, "draft.json") != 0))
        return serve_original(file);
    desk_answer answer = desk_answer_file("application/json; charset=utf-8", file);
    if (answer.status == 200)
        desk_folder_state(&desk->folder, DESK_INBOX, request->parts[0], name, answer.tag);
    return answer;
}

desk_answer desk_serve_upload(desk_state *desk, desk_request *request) {
    const desk_route *route = request->route;
    const char *entry = route->place.in_entry ? request->parts[0] : NULL;
    const char *wish = desk_request_argument(request, "name");
    char name[DESK_NAME_SIZE];
    foci_error err = {0};
    if (request->size == 0)
        return desk_answer_say(422, "the file is empty");
    desk_plain_name(name, wish ? wish : "");
    const int file = request->body.file;
    request->body.file = -1;
    if (!desk_folder_keep(&desk->folder, route->place.shelf, entry, file, request->temporary, false, name, &err))
        return desk_answer_error(&err);
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fputs("{\"name\":", writer.out);
        desk_put_text(writer.out, name);
        fprintf(writer.out, ",\"bytes\":%zu}", request->size);
    }
    return desk_writer_end(&writer, 201);
}

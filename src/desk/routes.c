#include <string.h>

#include "desk/rooms.h"

/* Bytes of a form, of a draft, of a file, of a photo from above. */
#define FORM (1UL << 20)
#define DRAFT (8UL << 20)
#define FILE_MOST (200UL << 20)
#define PHOTO (2UL << 30)

const desk_route desk_routes[] = {
    {"GET", "/", 0, {0}, desk_serve_page},
    {"GET", "/page/*", 0, {0}, desk_serve_asset},
    {"GET", "/favicon.ico", 0, {0}, desk_serve_mark},
    {"GET", "/api/desk", 0, {0}, desk_serve_state},
    {"GET", "/api/settings", 0, {0}, desk_serve_settings},
    {"GET", "/api/profiles", 0, {0}, desk_serve_profiles},
    {"GET", "/api/profiles/*", 0, {0}, desk_serve_profile},
    {"POST", "/api/window", 0, {0}, desk_serve_window},
    {"POST", "/api/stop", 0, {0}, desk_serve_stop},
    {"POST", "/api/sample", 0, {0}, desk_serve_sample},
    {"POST", "/api/fields", FILE_MOST, {true, DESK_FIELDS, false}, desk_serve_upload},
    {"GET", "/fields/*", 0, {0}, desk_serve_field},
    {"POST", "/api/visits", FORM, {0}, desk_serve_new_visit},
    {"GET", "/api/visits/*", 0, {0}, desk_serve_visit},
    {"POST", "/api/visits/*/files", FILE_MOST, {true, DESK_INBOX, true}, desk_serve_upload},
    {"POST", "/api/visits/*/photos", PHOTO, {true, DESK_INBOX, true}, desk_serve_upload},
    {"GET", "/visits/*/*", 0, {0}, desk_serve_visit_file},
    {"PUT", "/api/visits/*/job", FORM, {0}, desk_serve_keep_job},
    {"PUT", "/api/visits/*/draft", DRAFT, {0}, desk_serve_draft},
    {"POST", "/api/jobs", FORM, {0}, desk_serve_new_job},
    {"GET", "/api/jobs/*", 0, {0}, desk_serve_job},
    {"GET", "/api/jobs/*/out", 0, {0}, desk_serve_job_out},
    {"DELETE", "/api/jobs/*", 0, {0}, desk_serve_cancel},
    {"GET", "/plans/*", 0, {0}, desk_serve_plan},
    {"GET", "/surveys/*/*", 0, {0}, desk_serve_survey_file},
    {"GET", "/seasons/*/*", 0, {0}, desk_serve_seasons_file},
    {0},
};

/* Whether the path is of that form; its open parts are copied. */
static bool fits(desk_request *request, const char *form, const char *path) {
    size_t count = 0;
    while (*form && *path) {
        if (*form != '*') {
            if (*form++ != *path++)
                return false;
            continue;
        }
        const size_t length = strcspn(path, "/");
        if (length == 0 || length >= DESK_PART_SIZE || count == DESK_PARTS_MOST)
            return false;
        memcpy(request->parts[count], path, length);
        request->parts[count++][length] = '\0';
        path += length;
        form++;
    }
    return *form == '\0' && *path == '\0';
}

const desk_route *desk_route_find(desk_request *request, const char *path, unsigned *status) {
    *status = 404;
    for (const desk_route *route = desk_routes; route->method; route++) {
        if (!fits(request, route->path, path))
            continue;
        /* A HEAD is a GET whose body the library keeps back (RFC 9110, section 9.3.2). */
        if (strcmp(route->method, strcmp(request->method, "HEAD") == 0 ? "GET" : request->method) == 0)
            return route;
        *status = 405;
    }
    return NULL;
}

/* What is asked of the desk, by method and path, and what answers it. */
#ifndef FOCI_DESK_ROOMS_H
#define FOCI_DESK_ROOMS_H

#include "desk/folder.h"
#include "desk/gate.h"
#include "desk/http.h"
#include "desk/jobs.h"

typedef struct {
    desk_folder folder;
    desk_gate gate;
    desk_jobs jobs;
    char *report_policy; /* Content-Security-Policy of reports and letters */
    bool stops;          /* the page asked for it */
} desk_state;

/* The body of a request goes into a new file there; its name becomes that of the file. */
typedef struct {
    bool wanted;
    desk_shelf shelf;
    bool in_entry; /* in the folder that the path's first part names */
} desk_place;

typedef struct {
    const char *method, *path; /* "*" for a part that is open */
    size_t most;               /* bytes of the body */
    desk_place place;
    desk_answer (*serve)(desk_state *desk, desk_request *request);
} desk_route;

/* The whole of it; ends with a row of zeros. */
extern const desk_route desk_routes[];

/* The row for a request, its open parts put into the request; NULL with *status 404 or 405. */
const desk_route *desk_route_find(desk_request *request, const char *path, unsigned *status);

/* ---- room_desk.c: the page itself, what the folder holds, the catalog of settings ---- */
desk_answer desk_serve_page(desk_state *desk, desk_request *request);
desk_answer desk_serve_asset(desk_state *desk, desk_request *request);
desk_answer desk_serve_mark(desk_state *desk, desk_request *request);
desk_answer desk_serve_state(desk_state *desk, desk_request *request);
desk_answer desk_serve_settings(desk_state *desk, desk_request *request);
desk_answer desk_serve_profiles(desk_state *desk, desk_request *request);
desk_answer desk_serve_profile(desk_state *desk, desk_request *request);
desk_answer desk_serve_window(desk_state *desk, desk_request *request);
desk_answer desk_serve_stop(desk_state *desk, desk_request *request);

/* What the sprayer gets, in a visit's folder. */
#define DESK_SPRAYER "sprayer.zip"

/* ---- room_files.c: what lies on the shelves ---- */
desk_answer desk_serve_survey_file(desk_state *desk, desk_request *request);
desk_answer desk_serve_seasons_file(desk_state *desk, desk_request *request);
desk_answer desk_serve_plan(desk_state *desk, desk_request *request);
desk_answer desk_serve_field(desk_state *desk, desk_request *request);
desk_answer desk_serve_upload(desk_state *desk, desk_request *request);

/* ---- room_visits.c: what is being worked at ---- */
desk_answer desk_serve_new_visit(desk_state *desk, desk_request *request);
desk_answer desk_serve_visit(desk_state *desk, desk_request *request);
desk_answer desk_serve_visit_file(desk_state *desk, desk_request *request);
desk_answer desk_serve_keep_job(desk_state *desk, desk_request *request);
desk_answer desk_serve_draft(desk_state *desk, desk_request *request);

/* ---- room_sample.c: the invented fields, to try it all ---- */
desk_answer desk_serve_sample(desk_state *desk, desk_request *request);

/* ---- room_jobs.c: what the program does ---- */
desk_answer desk_serve_new_job(desk_state *desk, desk_request *request);
desk_answer desk_serve_job(desk_state *desk, desk_request *request);
desk_answer desk_serve_job_out(desk_state *desk, desk_request *request);
desk_answer desk_serve_cancel(desk_state *desk, desk_request *request);

/* Writes a small file of a visit, or of a shelf (`entry` NULL), in the place of what was there (`replace`) or under
 * another name; `name`: wish in, name out. */
bool desk_keep_bytes(desk_state *desk, desk_shelf shelf, const char *entry, bool replace, char name[DESK_NAME_SIZE],
                     const char *bytes, size_t size, foci_error *err) FOCI_MUST_CHECK;

/* ---- form.c: name=value&name=value as a page's form sends it ---- */

/* Takes the next pair from `*at` (changed, decoded in place); false at the end. NULL `value`: malformed. */
bool desk_form_next(char **at, char **name, char **value);

#endif

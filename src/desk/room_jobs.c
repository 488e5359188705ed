#include <stdlib.h>
#include <string.h>

#include "desk/rooms.h"

static unsigned long id_of(const char *text) {
    char *end = NULL;
    const unsigned long id = strtoul(text, &end, 10);
    return *text >= '0' && *text <= '9' && *end == '\0' ? id : 0;
}

static desk_answer no_job(void) {
    return desk_answer_say(404, "there is no such job");
}

static desk_answer begun(unsigned long id) {
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        fprintf(writer.out, "{\"job\":%lu}", id);
    return desk_writer_end(&writer, 202);
}

static bool is_visit_with_job(const desk_state *desk, const char *visit, foci_error *err) {
    char state[64];
    desk_folder_state(&desk->folder, DESK_INBOX, visit, "job.json", state);
    return *state ||
           foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "there is no such visit, or nothing is chosen for it yet");
}

static unsigned long start_check(desk_state *desk, const char *visit, foci_error *err) {
    unsigned long id = 0;
    char *job = is_visit_with_job(desk, visit, err)
                    ? desk_folder_path(&desk->folder, DESK_INBOX, visit, "job.json", err)
                    : NULL;
    if (job)
        id = desk_jobs_add(&desk->jobs, (const char *const[]){"check", "--job", job, "--json", "--progress", NULL},
                           visit, err);
    free(job);
    return id;
}

static unsigned long start_map(desk_state *desk, const char *visit, foci_error *err) {
    unsigned long id = 0;
    char *job = is_visit_with_job(desk, visit, err)
                    ? desk_folder_path(&desk->folder, DESK_INBOX, visit, "job.json", err)
                    : NULL;
    char *out = job ? desk_folder_path(&desk->folder, DESK_SURVEYS, visit, NULL, err) : NULL;
    if (out)
        id = desk_jobs_add(&desk->jobs,
                           (const char *const[]){"map", "--job", job, "--out", out, "--overwrite", "--progress", NULL},
                           visit, err);
    free(job);
    free(out);
    return id;
}

static const struct {
    const char *name;
    unsigned long (*start)(desk_state *desk, const char *about, foci_error *err);
} kinds[] = {{"check", start_check}, {"map", start_map}};

desk_answer desk_serve_new_job(desk_state *desk, desk_request *request) {
    char *form = request->bytes, *name = NULL, *value = NULL, *what = NULL, *about = NULL;
    foci_error err = {0};
    while (desk_form_next(&form, &name, &value)) {
        if (strcmp(name, "what") == 0)
            what = value;
        else if (strcmp(name, "about") == 0)
            about = value;
    }
    for (size_t i = 0; what && about && i < sizeof kinds / sizeof *kinds; i++) {
        if (strcmp(kinds[i].name, what) != 0)
            continue;
        const unsigned long id = kinds[i].start(desk, about, &err);
        return id ? begun(id) : err.status == FOCI_STOPPED ? desk_answer_say(503, err.text) : desk_answer_error(&err);
    }
    return desk_answer_say(400, "the desk does not know what to do with this");
}

desk_answer desk_serve_job(desk_state *desk, desk_request *request) {
    const char *after = desk_request_argument(request, "after");
    const desk_job *job = desk_jobs_find(&desk->jobs, id_of(request->parts[0]));
    if (!job)
        return no_job();
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        desk_jobs_put(job, after ? strtol(after, NULL, 10) : 0, writer.out);
    return desk_writer_end(&writer, 200);
}

desk_answer desk_serve_job_out(desk_state *desk, desk_request *request) {
    const desk_job *job = desk_jobs_find(&desk->jobs, id_of(request->parts[0]));
    return job && job->state > DESK_JOB_RUNS ? desk_jobs_out(job) : no_job();
}

desk_answer desk_serve_cancel(desk_state *desk, desk_request *request) {
    desk_job *job = desk_jobs_find(&desk->jobs, id_of(request->parts[0]));
    if (!job)
        return no_job();
    desk_jobs_cancel(&desk->jobs, job);
    return desk_answer_say(200, "it ends");
}

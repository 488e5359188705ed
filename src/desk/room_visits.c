#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <fieldfoci/fieldfoci.h>

#include "desk/rooms.h"

static bool is_visit(const desk_state *desk, const char *name) {
    return desk_folder_has(&desk->folder, DESK_INBOX, name, true);
}

static desk_answer no_visit(void) {
    return desk_answer_say(404, "there is no such visit");
}

bool desk_keep_bytes(desk_state *desk, desk_shelf shelf, const char *entry, bool replace, char name[DESK_NAME_SIZE],
                     const char *bytes, size_t size, foci_error *err) {
    char temporary[DESK_NAME_SIZE];
    const int file = desk_folder_begin(&desk->folder, shelf, entry, temporary, err);
    if (file < 0)
        return false;
    for (size_t done = 0; done < size;) {
        const ssize_t wrote = write(file, bytes + done, size - done);
        if (wrote <= 0) {
            desk_folder_drop(&desk->folder, shelf, entry, file, temporary);
            return foci_fail(err, FOCI_NO_FILE, name, 0, "could not be kept; is the disk full?");
        }
        done += (size_t)wrote;
    }
    return desk_folder_keep(&desk->folder, shelf, entry, file, temporary, replace, name, err);
}

static bool replace(desk_state *desk, const char *visit, const char *wish, const char *bytes, size_t size,
                    foci_error *err) {
    char name[DESK_NAME_SIZE];
    snprintf(name, sizeof name, "%s", wish);
    return desk_keep_bytes(desk, DESK_INBOX, visit, true, name, bytes, size, err);
}

desk_answer desk_serve_new_visit(desk_state *desk, desk_request *request) {
    const char *wish = desk_request_argument(request, "name");
    char name[DESK_NAME_SIZE];
    foci_error err = {0};
    if (!desk_folder_make(&desk->folder, DESK_INBOX, wish && *wish ? wish : "visit", name, &err))
        return desk_answer_error(&err);
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fputs("{\"visit\":", writer.out);
        desk_put_text(writer.out, name);
        putc('}', writer.out);
    }
    return desk_writer_end(&writer, 201);
}

desk_answer desk_serve_visit(desk_state *desk, desk_request *request) {
    if (!is_visit(desk, request->parts[0]))
        return no_visit();
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fputs("{\"files\":", writer.out);
        desk_folder_list(&desk->folder, DESK_INBOX, request->parts[0], writer.out);
        fprintf(writer.out, ",\"mapped\":%s}",
                desk_folder_has(&desk->folder, DESK_SURVEYS, request->parts[0], true) ? "true" : "false");
    }
    return desk_writer_end(&writer, 200);
}

/* ---- its job: the choices so far, in the file that --job reads ---- */

typedef struct {
    FILE *out;
    FILE *stops; /* the list of its stops' files */
    const char *between, *between_stops;
} job_writer;

/* A file by what the page calls it: one of the visit's, for the boundary also one of the shelf of fields. */
static bool put_file(const desk_state *desk, const char *visit, job_writer *job, const char *setting, const char *value,
                     foci_error *err) {
    const bool is_stops = strcmp(setting, "stops") == 0;
    FILE *out = is_stops ? job->stops : job->out;
    const int mine = desk_folder_read(&desk->folder, DESK_INBOX, visit, value);
    char beside[DESK_PART_SIZE + 16];
    if (mine >= 0)
        close(mine);
    if (mine >= 0)
        snprintf(beside, sizeof beside, "%s", value);
    else if (strcmp(setting, "field") == 0 && desk_folder_has(&desk->folder, DESK_FIELDS, value, false))
        snprintf(beside, sizeof beside, "../../fields/%s", value);
    else if (strcmp(setting, "earlier") == 0 && desk_folder_has(&desk->folder, DESK_SURVEYS, value, true))
        snprintf(beside, sizeof beside, "../../surveys/%s", value);
    else
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "'%s' is no file of this desk; bring it first", value);
    if (is_stops) {
        fputs(job->between_stops, out);
        job->between_stops = ",";
    } else {
        fputs(job->between, out);
        desk_put_text(out, setting);
        putc(':', out);
        job->between = ",";
    }
    desk_put_text(out, beside);
    return true;
}

static bool put_setting(const desk_state *desk, const char *visit, job_writer *job, foci_settings *settings,
                        const char *name, const char *value, foci_error *err) {
    if (strcmp(name, "stops") == 0)
        return put_file(desk, visit, job, name, value, err);
    const foci_setting *row = foci_setting_find(name, FOCI_FOR_MAP);
    if (!row || !row->in_job)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "the job has no setting '%s'", name);
    if (row->kind->names_file && row->kind->names_file(value))
        return put_file(desk, visit, job, name, value, err);
    if (!foci_settings_set(settings, name, row->kind->is_flag ? NULL : value, FOCI_FOR_MAP, err))
        return false;
    fputs(job->between, job->out);
    desk_put_text(job->out, name);
    putc(':', job->out);
    if (row->kind->is_flag)
        fputs("true", job->out);
    else
        desk_put_text(job->out, value);
    job->between = ",";
    return true;
}

static bool put_all(const desk_state *desk, const char *visit, char *form, job_writer *job, foci_error *err) {
    foci_settings settings = foci_settings_make();
    char *name = NULL, *value = NULL;
    bool ok = true;
    while (ok && desk_form_next(&form, &name, &value)) {
        if (!value || !*name)
            ok = foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "the form is malformed");
        else if (*value)
            ok = put_setting(desk, visit, job, &settings, name, value, err);
    }
    foci_settings_free(&settings);
    return ok;
}

/* {"job":{SETTING...,"stops":[FILE...]}} */
static bool make_job(const desk_state *desk, const char *visit, char *form, char **text, size_t *size,
                     foci_error *err) {
    char *stops = NULL;
    size_t stops_size = 0;
    job_writer job = {.between = "", .between_stops = ""};
    job.out = open_memstream(text, size);
    job.stops = open_memstream(&stops, &stops_size);
    bool ok = (job.out && job.stops) || foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    if (ok) {
        fputs("{\"job\":{", job.out);
        ok = put_all(desk, visit, form, &job, err);
    }
    if (job.stops && fclose(job.stops) != 0 && ok)
        ok = foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    if (ok)
        fprintf(job.out, "%s\"stops\":[%s]}}\n", job.between, stops);
    const bool whole = job.out && !ferror(job.out);
    if (job.out && fclose(job.out) != 0)
        ok = ok && foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    ok = ok && (whole || foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory"));
    free(stops);
    return ok;
}

/* What a tab changes must be what it saw: else the other tab's change would be lost. False with
 * *refusal where it is not. */
static bool may_change(desk_state *desk, desk_request *request, const char *name, desk_answer *refusal) {
    const char *seen = desk_request_header(request, "If-Match");
    char state[64];
    desk_folder_state(&desk->folder, DESK_INBOX, request->parts[0], name, state);
    if (strcmp(seen ? seen : "", state) == 0)
        return true;
    *refusal = desk_answer_say(409, "this was changed in another window meanwhile; look at what stands there now");
    snprintf(refusal->tag, sizeof refusal->tag, "%s", state);
    return false;
}

static desk_answer kept(desk_state *desk, const char *visit, const char *name) {
    desk_answer answer = desk_answer_say(200, "kept");
    desk_folder_state(&desk->folder, DESK_INBOX, visit, name, answer.tag);
    return answer;
}

desk_answer desk_serve_keep_job(desk_state *desk, desk_request *request) {
    static const char name[] = "job.json";
    const char *visit = request->parts[0];
    desk_answer answer;
    foci_error err = {0};
    char *text = NULL;
    size_t size = 0;
    if (!is_visit(desk, visit))
        return no_visit();
    if (!may_change(desk, request, name, &answer))
        return answer;
    if (!make_job(desk, visit, request->bytes, &text, &size, &err) || !replace(desk, visit, name, text, size, &err))
        answer = desk_answer_error(&err);
    else
        answer = kept(desk, visit, name);
    free(text);
    return answer;
}

desk_answer desk_serve_draft(desk_state *desk, desk_request *request) {
    static const char name[] = "draft.json";
    const char *visit = request->parts[0];
    desk_answer answer;
    foci_error err = {0};
    if (!is_visit(desk, visit))
        return no_visit();
    if (!may_change(desk, request, name, &answer))
        return answer;
    if (!replace(desk, visit, name, request->bytes ? request->bytes : "", request->size, &err))
        return desk_answer_error(&err);
    return kept(desk, visit, name);
}

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <fieldfoci/fieldfoci.h>

#include "desk/rooms.h"

/* The command line of one job while it is made. Words are owned. */
typedef struct {
    const desk_state *desk;
    char *words[DESK_WORDS_MOST + 1];
    size_t count;
    unsigned command;       /* FOCI_FOR_..., whose settings the page may give */
    foci_settings settings; /* that they are judged by */
    char about[DESK_PART_SIZE];
    foci_error *err;
} job_line;

static bool add(job_line *line, const char *word) {
    if (line->count >= DESK_WORDS_MOST)
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "too many choices at once");
    char *copy = word ? strdup(word) : NULL;
    if (!copy)
        return foci_fail(line->err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    line->words[line->count++] = copy;
    return true;
}

static bool add_path(job_line *line, desk_shelf shelf, const char *entry, const char *name) {
    char *path = desk_folder_path(&line->desk->folder, shelf, entry, name, line->err);
    const bool ok = path && add(line, path);
    free(path);
    return ok;
}

/* A setting as the page's form gave it, judged by the catalog. */
static bool add_setting(job_line *line, const char *name, const char *value) {
    const foci_setting *row = foci_setting_find(name, line->command);
    char *word = NULL;
    if (!row || (row->kind->names_file && row->kind->names_file(value)))
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "there is no '%s' to be chosen here", name);
    /* A flag is given by any value. */
    const bool is_flag = row->kind->is_flag;
    if (!foci_settings_set(&line->settings, name, is_flag ? NULL : value, line->command, line->err))
        return false;
    const int length = is_flag ? asprintf(&word, "--%s", name) : asprintf(&word, "--%s=%s", name, value);
    const bool ok = add(line, length >= 0 ? word : NULL);
    if (length >= 0)
        free(word);
    return ok;
}

static bool no_such(job_line *line, const char *what) {
    return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "there is no such %s on this desk", what);
}

/* ---- what a page may have done ---- */

/* Every field of the form that is no setting. */
typedef struct {
    const char *what, *about, *file, *field, *ending;
    const char *surveys[32];
    size_t survey_count;
    bool of_digs; /* the survey's dig-checks are meant */
} job_wish;

static bool add_job_file(job_line *line, const job_wish *wish) {
    char state[64];
    desk_folder_state(&line->desk->folder, DESK_INBOX, wish->about, "job.json", state);
    if (!*state)
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0,
                         "there is no such visit, or nothing is chosen for it yet");
    return add(line, "--job") && add_path(line, DESK_INBOX, wish->about, "job.json");
}

static bool make_check(job_line *line, const job_wish *wish) {
    return add_job_file(line, wish) && add(line, "--json");
}

static bool make_map(job_line *line, const job_wish *wish) {
    return add_job_file(line, wish) && add(line, "--out") && add_path(line, DESK_SURVEYS, wish->about, NULL) &&
           add(line, "--overwrite");
}

static bool make_look(job_line *line, const job_wish *wish) {
    const bool is_field = strcmp(wish->about, "fields") == 0;
    const int file = desk_folder_read(&line->desk->folder, is_field ? DESK_FIELDS : DESK_INBOX,
                                      is_field ? NULL : wish->about, wish->file ? wish->file : "");
    if (file < 0)
        return no_such(line, "file");
    close(file);
    return add_path(line, is_field ? DESK_FIELDS : DESK_INBOX, is_field ? NULL : wish->about, wish->file) &&
           add(line, "--json");
}

/* The folder of a comparison is named by its surveys, oldest first; where they do not go into a name as they are, by a
 * number of theirs too (FNV-1a, from memory), so that no comparison takes another one's place. */
static void name_seasons(char name[DESK_NAME_SIZE], const job_wish *wish) {
    enum { STEM_MOST = 48 };
    char all[2048] = "";
    uint64_t number = 14695981039346656037u;
    for (size_t i = 0; i < wish->survey_count; i++) {
        const size_t length = strlen(all);
        snprintf(all + length, sizeof all - length, "%s%s", i ? "-" : "", wish->surveys[i]);
        for (const char *at = wish->surveys[i];; at++) {
            number = (number ^ (unsigned char)*at) * 1099511628211u;
            if (!*at)
                break;
        }
    }
    desk_plain_name(name, all);
    if (strcmp(name, all) != 0)
        snprintf(name + (strlen(name) < STEM_MOST ? strlen(name) : STEM_MOST), 18, "-%016llx",
                 (unsigned long long)number);
}

static bool make_seasons(job_line *line, const job_wish *wish) {
    char name[DESK_NAME_SIZE];
    for (size_t i = 0; i < wish->survey_count; i++) {
        if (!desk_folder_has(&line->desk->folder, DESK_SURVEYS, wish->surveys[i], true))
            return no_such(line, "survey");
        if (!add_path(line, DESK_SURVEYS, wish->surveys[i], NULL))
            return false;
    }
    name_seasons(name, wish);
    snprintf(line->about, sizeof line->about, "%s", name);
    return add(line, "--out") && add_path(line, DESK_SEASONS, name, NULL) && add(line, "--overwrite");
}

static bool make_record(job_line *line, const job_wish *wish) {
    char *history = NULL;
    if (!desk_folder_has(&line->desk->folder, DESK_SURVEYS, wish->about, true))
        return no_such(line, "survey");
    const bool ok = add_path(line, DESK_SURVEYS, wish->about, NULL) && add(line, "--history") &&
                    asprintf(&history, "%s/history.gpkg", line->desk->folder.path) >= 0 && add(line, history);
    free(history);
    return ok;
}

/* The archive lies with the visit, not in the survey's folder, which is replaced when the survey is mapped again. */
static bool make_task(job_line *line, const job_wish *wish) {
    char name[DESK_NAME_SIZE];
    if (!desk_folder_has(&line->desk->folder, DESK_SURVEYS, wish->about, true))
        return no_such(line, "survey");
    if (!desk_folder_has(&line->desk->folder, DESK_INBOX, wish->about, true) &&
        !desk_folder_make(&line->desk->folder, DESK_INBOX, wish->about, name, line->err))
        return false;
    if (!desk_folder_has(&line->desk->folder, DESK_INBOX, wish->about, true))
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0,
                         "give the survey a name of small letters, digits and hyphens first");
    return add_path(line, DESK_SURVEYS, wish->about, NULL) && add(line, "--out") &&
           add_path(line, DESK_INBOX, wish->about, DESK_SPRAYER) && add(line, "--overwrite");
}

/* A walk of a field, for the visit that it is named after; its forms differ by their endings. */
static bool make_plan(job_line *line, const job_wish *wish) {
    static const char *const endings[] = {"csv", "gpx", "pdf", "geojson"};
    char name[DESK_NAME_SIZE];
    size_t form = 0;
    while (form < sizeof endings / sizeof *endings && strcmp(endings[form], wish->ending ? wish->ending : "") != 0)
        form++;
    if (form == sizeof endings / sizeof *endings)
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "a walk is written as csv, gpx, pdf or geojson");
    if (!desk_folder_has(&line->desk->folder, DESK_INBOX, wish->about, true))
        return no_such(line, "visit");
    if (!wish->field || !desk_folder_has(&line->desk->folder, DESK_FIELDS, wish->field, false))
        return no_such(line, "field");
    for (size_t i = 0; i < wish->survey_count; i++)
        if (!desk_folder_has(&line->desk->folder, DESK_SURVEYS, wish->surveys[i], true))
            return no_such(line, "survey");
        else if (!add(line, wish->of_digs ? "--digs" : "--earlier") ||
                 !add_path(line, DESK_SURVEYS, wish->surveys[i], NULL))
            return false;
    snprintf(name, sizeof name, "%.80s.%s", wish->about, endings[form]);
    return add(line, "--field") && add_path(line, DESK_FIELDS, NULL, wish->field) && add(line, "--out") &&
           add_path(line, DESK_PLANS, NULL, name) && add(line, "--overwrite") && add(line, "--json");
}

static const struct {
    const char *name;
    unsigned command;
    bool (*make)(job_line *line, const job_wish *wish);
} kinds[] = {
    {"check", 0, make_check},
    {"map", 0, make_map},
    {"look", FOCI_FOR_LOOK, make_look},
    {"seasons", FOCI_FOR_SEASONS, make_seasons},
    {"record", FOCI_FOR_RECORD, make_record},
    {"task", FOCI_FOR_TASK, make_task},
    {"plan", FOCI_FOR_PLAN, make_plan},
};

/* ---- from form to job ---- */

static bool take_pair(job_line *line, job_wish *wish, const char *name, const char *value) {
    const struct {
        const char *name;
        const char **place;
    } own[] = {{"what", &wish->what},
               {"about", &wish->about},
               {"file", &wish->file},
               {"field", &wish->field},
               {"ending", &wish->ending}};
    if (!value || !*name)
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "the form is malformed");
    for (size_t i = 0; i < sizeof own / sizeof *own; i++)
        if (strcmp(own[i].name, name) == 0) {
            *own[i].place = value;
            return true;
        }
    const bool of_digs = line->command == FOCI_FOR_PLAN && strcmp(name, "digs") == 0;
    const bool is_survey =
        of_digs || strcmp(name, "survey") == 0 || (line->command == FOCI_FOR_PLAN && strcmp(name, "earlier") == 0);
    wish->of_digs = wish->of_digs || of_digs;
    if (!is_survey)
        return *value == '\0' || add_setting(line, name, value);
    if (wish->survey_count == sizeof wish->surveys / sizeof *wish->surveys)
        return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "too many surveys at once");
    wish->surveys[wish->survey_count++] = value;
    return true;
}

/* The form is read twice: what it asks for says which settings it may name. */
static bool find_kind(job_line *line, const char *form, size_t *kind) {
    for (*kind = 0; *kind < sizeof kinds / sizeof *kinds; (*kind)++) {
        char wanted[40];
        const int length = snprintf(wanted, sizeof wanted, "what=%s", kinds[*kind].name);
        for (const char *at = form; at && (at = strstr(at, wanted)); at++)
            if ((at == form || at[-1] == '&') && (at[length] == '\0' || at[length] == '&'))
                return true;
    }
    return foci_fail(line->err, FOCI_BAD_SETTING, NULL, 0, "the desk does not know what to do with this");
}

static bool make_line(job_line *line, char *form) {
    job_wish wish = {.about = ""};
    char *name = NULL, *value = NULL;
    size_t kind = 0;
    if (!find_kind(line, form ? form : "", &kind) || !add(line, kinds[kind].name))
        return false;
    line->command = kinds[kind].command;
    while (desk_form_next(&form, &name, &value))
        if (!take_pair(line, &wish, name, value))
            return false;
    snprintf(line->about, sizeof line->about, "%s", wish.about);
    return kinds[kind].make(line, &wish) && add(line, "--progress");
}

desk_answer desk_serve_new_job(desk_state *desk, desk_request *request) {
    foci_error err = {0};
    job_line line = {.desk = desk, .settings = foci_settings_make(), .err = &err};
    unsigned long id = 0;
    if (make_line(&line, request->bytes))
        id = desk_jobs_add(&desk->jobs, (const char *const *)line.words, line.about, &err);
    foci_settings_free(&line.settings);
    for (size_t i = 0; i < line.count; i++)
        free(line.words[i]);
    if (!id)
        return err.status == FOCI_STOPPED ? desk_answer_say(503, err.text) : desk_answer_error(&err);
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fprintf(writer.out, "{\"job\":%lu,\"about\":", id);
        desk_put_text(writer.out, line.about);
        putc('}', writer.out);
    }
    return desk_writer_end(&writer, 202);
}

/* ---- the jobs that there are ---- */

static desk_job *find(desk_state *desk, const char *text) {
    char *end = NULL;
    const unsigned long id = strtoul(text, &end, 10);
    return *text >= '0' && *text <= '9' && *end == '\0' ? desk_jobs_find(&desk->jobs, id) : NULL;
}

static desk_answer no_job(void) {
    return desk_answer_say(404, "there is no such job");
}

desk_answer desk_serve_job(desk_state *desk, desk_request *request) {
    const char *after = desk_request_argument(request, "after");
    const desk_job *job = find(desk, request->parts[0]);
    if (!job)
        return no_job();
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        desk_jobs_put(job, after ? strtol(after, NULL, 10) : 0, writer.out);
    return desk_writer_end(&writer, 200);
}

desk_answer desk_serve_job_out(desk_state *desk, desk_request *request) {
    const desk_job *job = find(desk, request->parts[0]);
    return job && job->state > DESK_JOB_RUNS ? desk_jobs_out(job) : no_job();
}

desk_answer desk_serve_cancel(desk_state *desk, desk_request *request) {
    desk_job *job = find(desk, request->parts[0]);
    if (!job)
        return no_job();
    desk_jobs_cancel(&desk->jobs, job);
    return desk_answer_say(200, "it ends");
}

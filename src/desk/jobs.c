#include "desk/jobs.h"

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* Most bytes that a job may write on standard output or error; it ends at more. */
#define MOST_TOLD (64L << 20)

/* ---- starting ---- */

static void free_words(desk_job *job) {
    for (char **at = job->words; at && *at; at++)
        free(*at);
    free(job->words);
    job->words = NULL;
}

static void forget(desk_job *job) {
    free_words(job);
    if (job->out >= 0)
        close(job->out);
    if (job->told >= 0)
        close(job->told);
    *job = (desk_job){.out = -1, .told = -1};
}

/* Where the system's memory runs out it ends a job, not the desk. */
static void offer_itself(void) {
    const int file = open("/proc/self/oom_score_adj", O_WRONLY | O_CLOEXEC);
    if (file >= 0) {
        (void)!write(file, "1000", 4);
        close(file);
    }
}

/* In the child, between fork and exec. It goes when the desk goes, by whatever way that went. */
static void become_program(const desk_job *job, pid_t desk) {
    static const char program[] = "/proc/self/exe";
    const int nothing = open("/dev/null", O_RDONLY);
    sigset_t none;
    sigemptyset(&none);
    if (nothing < 0 || dup2(nothing, STDIN_FILENO) < 0 || dup2(job->out, STDOUT_FILENO) < 0 ||
        dup2(job->told, STDERR_FILENO) < 0 || prctl(PR_SET_PDEATHSIG, SIGTERM) != 0 || getppid() != desk)
        _exit(127);
    (void)setpgid(0, 0);
    offer_itself();
    (void)signal(SIGPIPE, SIG_DFL);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    execve(program, job->words, environ);
    _exit(127);
}

static bool start(desk_job *job) {
    const pid_t desk = getpid();
    job->out = memfd_create("out", MFD_CLOEXEC);
    job->told = memfd_create("told", MFD_CLOEXEC);
    const pid_t child = job->out >= 0 && job->told >= 0 ? fork() : -1;
    if (child == 0)
        become_program(job, desk);
    if (child < 0) {
        job->state = DESK_JOB_FAILED;
        job->status = -1;
        return false;
    }
    job->child = child;
    job->state = DESK_JOB_RUNS;
    free_words(job);
    return true;
}

static void start_waiting(desk_jobs *jobs) {
    for (;;) {
        desk_job *next = NULL;
        int running = 0;
        for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
            desk_job *job = &jobs->items[i];
            running += job->id && job->state == DESK_JOB_RUNS;
            if (job->id && job->state == DESK_JOB_WAITS && (!next || job->id < next->id))
                next = job;
        }
        if (!next || running >= DESK_JOBS_AT_ONCE)
            return;
        (void)start(next); /* one that could not be started has failed and says so */
    }
}

static bool copy_words(desk_job *job, const char *const *words) {
    size_t count = 0;
    while (words[count])
        count++;
    job->words = calloc(count + 2, sizeof *job->words);
    if (!job->words || !(job->words[0] = strdup("fieldfoci")))
        return false;
    for (size_t i = 0; i < count; i++)
        if (!(job->words[i + 1] = strdup(words[i])))
            return false;
    return true;
}

/* A place for one more: an empty one, else that of the oldest that is over. */
static desk_job *find_place(desk_jobs *jobs) {
    desk_job *place = NULL;
    for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
        desk_job *job = &jobs->items[i];
        if (!job->id) {
            job->out = job->told = -1;
            return job;
        }
        if (job->state != DESK_JOB_WAITS && job->state != DESK_JOB_RUNS && (!place || job->id < place->id))
            place = job;
    }
    if (place)
        forget(place);
    return place;
}

unsigned long desk_jobs_add(desk_jobs *jobs, const char *const *words, const char *about, foci_error *err) {
    desk_job *job = find_place(jobs);
    if (!job) {
        foci_fail(err, FOCI_STOPPED, NULL, 0, "%d jobs are waiting; wait for some, or end them", DESK_JOBS_MOST);
        return 0;
    }
    if (!copy_words(job, words)) {
        forget(job);
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
        return 0;
    }
    job->id = ++jobs->last;
    snprintf(job->what, sizeof job->what, "%s", words[0]);
    snprintf(job->about, sizeof job->about, "%s", about);
    start_waiting(jobs);
    return job->id;
}

desk_job *desk_jobs_find(desk_jobs *jobs, unsigned long id) {
    for (size_t i = 0; id && i < DESK_JOBS_MOST; i++)
        if (jobs->items[i].id == id)
            return &jobs->items[i];
    return NULL;
}

/* ---- ending ---- */

static void note_end(desk_job *job, int status) {
    job->child = 0;
    job->status = WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
    job->state = job->asked_to_end ? DESK_JOB_CANCELED : job->status == 0 ? DESK_JOB_DONE : DESK_JOB_FAILED;
}

static bool tells_too_much(const desk_job *job) {
    return lseek(job->out, 0, SEEK_END) > MOST_TOLD || lseek(job->told, 0, SEEK_END) > MOST_TOLD;
}

void desk_jobs_look(desk_jobs *jobs) {
    for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
        desk_job *job = &jobs->items[i];
        int status = 0;
        if (!job->id || job->state != DESK_JOB_RUNS)
            continue;
        if (waitpid((pid_t)job->child, &status, WNOHANG) == job->child)
            note_end(job, status);
        else if (tells_too_much(job))
            (void)kill((pid_t)job->child, SIGTERM);
    }
    start_waiting(jobs);
}

void desk_jobs_cancel(desk_jobs *jobs, desk_job *job) {
    if (job->state == DESK_JOB_WAITS) {
        job->state = DESK_JOB_CANCELED;
        free_words(job);
    } else if (job->state == DESK_JOB_RUNS) {
        job->asked_to_end = true;
        (void)kill((pid_t)job->child, SIGTERM);
    }
    desk_jobs_look(jobs);
}

static size_t count_running(desk_jobs *jobs) {
    size_t running = 0;
    for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
        desk_job *job = &jobs->items[i];
        int status = 0;
        if (job->id && job->state == DESK_JOB_RUNS && waitpid((pid_t)job->child, &status, WNOHANG) == job->child)
            note_end(job, status);
        running += job->id && job->state == DESK_JOB_RUNS;
    }
    return running;
}

static void signal_all(desk_jobs *jobs, int number) {
    for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
        desk_job *job = &jobs->items[i];
        if (job->id && job->state == DESK_JOB_RUNS) {
            job->asked_to_end = true;
            (void)kill((pid_t)job->child, number);
        }
    }
}

void desk_jobs_end(desk_jobs *jobs) {
    const struct timespec moment = {.tv_nsec = 20000000};
    signal_all(jobs, SIGTERM);
    for (int i = 0; i < 250 && count_running(jobs) > 0; i++)
        (void)nanosleep(&moment, NULL);
    signal_all(jobs, SIGKILL);
    while (count_running(jobs) > 0)
        (void)nanosleep(&moment, NULL);
    for (size_t i = 0; i < DESK_JOBS_MOST; i++)
        if (jobs->items[i].id)
            forget(&jobs->items[i]);
}

/* ---- telling ---- */

static const char *const state_names[] = {"waits", "runs", "done", "failed", "canceled"};

static void put_head(const desk_job *job, FILE *out) {
    fprintf(out, "{\"id\":%lu,\"what\":\"%s\",\"about\":", job->id, job->what);
    desk_put_text(out, job->about);
    fprintf(out, ",\"state\":\"%s\",\"status\":%d", state_names[job->state], job->status);
}

/* What it told, line by line: each is JSON by the contract, but a process that dies may have said anything. */
static void put_lines(const desk_job *job, long after, FILE *out) {
    char piece[16384];
    long at = after < 0 ? 0 : after;
    const char *between = "";
    fprintf(out, ",\"told\":[");
    for (;;) {
        const ssize_t got = job->told >= 0 ? pread(job->told, piece, sizeof piece, at) : 0;
        const char *end = got > 0 ? memchr(piece, '\n', (size_t)got) : NULL;
        size_t length = end ? (size_t)(end - piece) : 0;
        if (!end && got > 0 && (got == (ssize_t)sizeof piece || job->state > DESK_JOB_RUNS))
            length = (size_t)got;
        if (length == 0 && !end)
            break;
        fputs(between, out);
        desk_put_bytes(out, piece, length);
        between = ",";
        at += (long)length + (end ? 1 : 0);
    }
    fprintf(out, "],\"after\":%ld", at);
}

void desk_jobs_put(const desk_job *job, long after, FILE *out) {
    put_head(job, out);
    put_lines(job, after, out);
    putc('}', out);
}

void desk_jobs_list(const desk_jobs *jobs, FILE *out) {
    const char *between = "";
    putc('[', out);
    for (size_t i = 0; i < DESK_JOBS_MOST; i++) {
        if (!jobs->items[i].id)
            continue;
        fputs(between, out);
        put_head(&jobs->items[i], out);
        putc('}', out);
        between = ",";
    }
    putc(']', out);
}

desk_answer desk_jobs_out(const desk_job *job) {
    const int file = job->out >= 0 ? fcntl(job->out, F_DUPFD_CLOEXEC, 3) : -1;
    return file >= 0 ? desk_answer_file("application/json; charset=utf-8", file)
                     : desk_answer_say(404, "it wrote nothing");
}

/* What the desk has the program do: child processes of it, so that a crash of one is a message and nothing more. */
#ifndef FOCI_DESK_JOBS_H
#define FOCI_DESK_JOBS_H

#include <stdbool.h>
#include <stdio.h>

#include "desk/answer.h"

/* Most that are remembered, and that run at once; the others wait their turn. */
enum { DESK_JOBS_MOST = 64, DESK_JOBS_AT_ONCE = 2, DESK_WORDS_MOST = 64 };

typedef enum { DESK_JOB_WAITS, DESK_JOB_RUNS, DESK_JOB_DONE, DESK_JOB_FAILED, DESK_JOB_CANCELED } desk_job_state;

typedef struct {
    unsigned long id; /* 0: no job */
    char what[16];    /* the command */
    char about[96];   /* the visit, survey or file it is about */
    desk_job_state state;
    bool asked_to_end;
    long child;    /* while it runs */
    int status;    /* exit status; a signal's number negative */
    int out, told; /* what it wrote on standard output and error: files in memory, -1 before */
    char **words;  /* its command line, until it runs */
} desk_job;

typedef struct {
    desk_job items[DESK_JOBS_MOST];
    unsigned long last;
} desk_jobs;

/* Adds `fieldfoci WORD...` (ended by NULL, copied) and starts it where there is room. Its id; 0 with `err`: the program
 * cannot be started, or all places are taken by jobs that are not done. The oldest finished one gives way. */
unsigned long desk_jobs_add(desk_jobs *jobs, const char *const *words, const char *about,
                            foci_error *err) FOCI_MUST_CHECK;

/* The job of this id; NULL where it is not remembered. */
desk_job *desk_jobs_find(desk_jobs *jobs, unsigned long id);

/* Notices those that have ended and starts those that wait. Called when SIGCHLD came. */
void desk_jobs_look(desk_jobs *jobs);

/* Asks one to end: it removes what it was writing and goes. */
void desk_jobs_cancel(desk_jobs *jobs, desk_job *job);

/* Ends all, by force those that do not go within some seconds, and forgets them. */
void desk_jobs_end(desk_jobs *jobs);

/* Writes a job as JSON, with what it has told from byte `after` of that on. */
void desk_jobs_put(const desk_job *job, long after, FILE *out);

/* All of them, without what they told. */
void desk_jobs_list(const desk_jobs *jobs, FILE *out);

/* What one wrote on standard output. */
desk_answer desk_jobs_out(const desk_job *job);

#endif

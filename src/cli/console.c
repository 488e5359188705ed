#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "commands.h"

/* One line of what `format` makes, cleaned; the newlines at the format's ends stay. */
static void put_line(FILE *stream, const char *format, va_list arguments) {
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = length < 0 ? NULL : malloc(4 * ((size_t)length + 1));
    if (!text) {
        fputs("fieldfoci: not enough memory for a line of text\n", stderr);
        exit(EXIT_FAILED);
    }
    char *plain = text + 3 * ((size_t)length + 1);
    vsnprintf(plain, (size_t)length + 1, format, arguments);
    foci_secrets_mask(text, 3 * ((size_t)length + 1), plain);
    size_t size = strlen(format), before = strspn(format, "\n"), after = 0;
    while (size - after > before && format[size - after - 1] == '\n')
        after++;
    text[strlen(text) - after] = '\0';
    foci_words_one_line(text + before);
    fprintf(stream, "%s%.*s", text, (int)after, format + size - after);
    free(text);
}

void console_put(const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    put_line(stdout, format, arguments);
    va_end(arguments);
}

FOCI_PRINTF(1, 2) static void put_message(const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    put_line(stderr, format, arguments);
    va_end(arguments);
}

/* The disposition is the default one again when this runs, so the signal that is raised ends the process. */
static void end_by_signal(int number) {
    foci_abandon_unfinished();
    raise(number);
}

void console_catch_signals(void) {
    static const int signals[] = {SIGHUP, SIGINT, SIGQUIT, SIGPIPE, SIGALRM, SIGTERM, SIGXCPU, SIGXFSZ};
    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++) {
        struct sigaction before, own = {.sa_handler = end_by_signal, .sa_flags = (int)SA_RESETHAND};
        if (sigaction(signals[i], NULL, &before) == 0 && before.sa_handler == SIG_DFL) /* nohup's stay ignored */
            (void)sigaction(signals[i], &own, NULL);
    }
}

/* ---- --progress ---- */

enum { LINES_A_SECOND = 10 };

/* What is left of it are the files. */
#define WITHOUT_FILES 0.85

/* What was told last: standard error is one for the whole program. */
static struct {
    bool as_json;
    const char *phase;
    double done;
    struct timespec when;
} told = {.phase = "start"};

static double since_last(struct timespec *now) {
    (void)clock_gettime(CLOCK_MONOTONIC, now);
    return (double)(now->tv_sec - told.when.tv_sec) + 1e-9 * (double)(now->tv_nsec - told.when.tv_nsec);
}

static bool tell_progress(double done, bool always) {
    struct timespec now;
    if (since_last(&now) * LINES_A_SECOND < 1 && !always)
        return true;
    told.done = done > told.done ? done : told.done;
    told.when = now;
    fprintf(stderr, "{\"done\": %.3f, \"phase\": \"%s\"}\n", told.done, told.phase);
    fflush(stderr);
    return true;
}

static bool tell_done(void *context, double done) {
    (void)context;
    return tell_progress(done, false);
}

static void enter_phase(void *context, const char *phase) {
    (void)context;
    told.phase = phase;
    tell_progress(told.done, true);
}

void console_begin(int count, char **words) {
    for (int i = 1; i < count && strcmp(words[i], "--") != 0; i++)
        told.as_json = told.as_json || strcmp(words[i], "--progress") == 0;
    if (told.as_json)
        tell_progress(0, true);
}

void console_done(void) {
    told.phase = "done";
    if (told.as_json)
        tell_progress(1, true);
}

/* One more member; NULL: null. What comes from files is cleaned of control characters first. */
static void put_member(const char *name, const char *text, const char *after) {
    char masked[2048];
    fprintf(stderr, "\"%s\": ", name);
    if (text) {
        foci_secrets_mask(masked, sizeof masked, text);
        foci_words_one_line(masked);
        putc('"', stderr);
        for (const char *c = masked; *c; c++) {
            if (*c == '"' || *c == '\\')
                putc('\\', stderr);
            putc(*c, stderr);
        }
        putc('"', stderr);
    } else {
        fputs("null", stderr);
    }
    fputs(after, stderr);
}

static void put_failure(const foci_error *err) {
    char text[1024], row[32];
    foci_error_text(err, "", text, sizeof text);
    snprintf(row, sizeof row, "\"row\": %ld, ", err->row);
    putc('{', stderr);
    put_member("key", *err->key ? err->key : NULL, ", ");
    put_member("file", *err->source ? err->source : NULL, ", ");
    fputs(err->row > 0 ? row : "\"row\": null, ", stderr);
    put_member("text", text, "}\n");
}

/* ---- messages ---- */

int console_fail(const foci_error *err) {
    char line[1024];
    if (told.as_json) {
        put_failure(err);
        return err->status == FOCI_BAD_SETTING ? EXIT_USAGE : EXIT_FAILED;
    }
    foci_error_line_marked(err, "--", line, sizeof line);
    put_message("fieldfoci: %s\n", line);
    return err->status == FOCI_BAD_SETTING ? EXIT_USAGE : EXIT_FAILED;
}

void console_say(bool quiet, const char *kind, const char *text) {
    if (!quiet && told.as_json) {
        putc('{', stderr);
        put_member(kind, text, "}\n");
    } else if (!quiet) {
        put_message("fieldfoci: %s: %s\n", kind, text);
    }
}

void console_findings(bool quiet, const foci_findings *findings) {
    for (size_t i = 0; i < findings->count; i++)
        console_say(quiet, findings->items[i].severity == FOCI_WARNING ? "warning" : "note", findings->items[i].text);
}

static bool is_told(const foci_findings *findings, const char *warning) {
    for (size_t i = 0; i < findings->count; i++)
        if (findings->items[i].trust && strcmp(findings->items[i].trust, warning) == 0)
            return true;
    return false;
}

void console_warnings(bool quiet, const foci_survey *round) {
    console_findings(quiet, &round->findings);
    for (size_t i = 0; i < round->warnings.count; i++)
        if (!is_told(&round->findings, round->warnings.items[i]))
            console_say(quiet, "warning", round->warnings.items[i]);
}

void console_sentences(bool quiet, const char *kind, const foci_sentences *sentences) {
    for (size_t i = 0; i < sentences->count; i++)
        console_say(quiet, kind, sentences->items[i]);
}

int console_print(char *text, const foci_error *err) {
    if (!text)
        return console_fail(err);
    fputs(text, stdout);
    size_t length = strlen(text);
    if (length == 0 || text[length - 1] != '\n')
        putchar('\n');
    free(text);
    return EXIT_DONE;
}

int console_end(void) {
    if (fflush(stdout) == 0 && !ferror(stdout))
        return EXIT_DONE;
    foci_error err = {0};
    foci_fail(&err, FOCI_NO_FILE, "standard output", 0, "could not be written; is the disk full?");
    return console_fail(&err);
}

static bool draw_bar(void *context, double done) {
    (void)context;
    static const char bar[] = "########################################";
    int filled = (int)(done * 40);
    filled = filled < 0 ? 0 : filled > 40 ? 40 : filled;
    fprintf(stderr, "\r[%-40.*s] %3.0f %%", filled, bar, 100 * done);
    fflush(stderr);
    return true;
}

static void say_note(void *context, const char *text) {
    (void)context;
    console_say(false, "note", text);
}

foci_teller console_teller(bool quiet) {
    return (foci_teller){.say = quiet ? NULL : say_note};
}

foci_execution console_execution(const foci_settings *settings) {
    const char *terminal = getenv("TERM");
    const bool dumb = terminal && strcmp(terminal, "dumb") == 0;
    const bool shown = !settings->quiet && !dumb && isatty(STDERR_FILENO);
    const foci_execution how = {.threads = settings->threads == FOCI_OPEN ? 0 : (int)settings->threads,
                                .progress = {.tell = shown ? draw_bar : NULL},
                                .teller = console_teller(settings->quiet)};
    if (!told.as_json)
        return how;
    foci_execution telling = foci_execution_part(&how, 0, WITHOUT_FILES);
    telling.progress.tell = tell_done;
    telling.progress.enter = enter_phase;
    enter_phase(NULL, "stops");
    return telling;
}

void console_execution_end(const foci_execution *how) {
    if (told.as_json)
        enter_phase(NULL, "files");
    else if (how->progress.tell)
        fprintf(stderr, "\r%50s\r", "");
}

bool console_read(foci_survey *out, const foci_settings *settings, foci_error *err) {
    return foci_survey_read(out, &settings->survey, (const char *const *)settings->inputs, settings->input_count, err);
}

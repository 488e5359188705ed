#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"

int console_fail(const foci_error *err) {
    char line[1024];
    foci_error_line(err, line, sizeof line);
    fprintf(stderr, "fieldfoci: %s\n", line);
    return err->status == FOCI_BAD_SETTING ? EXIT_USAGE : EXIT_FAILED;
}

void console_say(bool quiet, const char *kind, const char *text) {
    if (!quiet)
        fprintf(stderr, "fieldfoci: %s: %s\n", kind, text);
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

void console_warnings(bool quiet, const foci_round *round) {
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
    fputs("fieldfoci: standard output: could not be written; is the disk full?\n", stderr);
    return EXIT_FAILED;
}

static bool draw_bar(void *context, double share) {
    (void)context;
    static const char bar[] = "########################################";
    int filled = (int)(share * 40);
    filled = filled < 0 ? 0 : filled > 40 ? 40 : filled;
    fprintf(stderr, "\r[%-40.*s] %3.0f %%", filled, bar, 100 * share);
    fflush(stderr);
    return true;
}

foci_progress console_progress(bool quiet) {
    const char *terminal = getenv("TERM");
    bool dumb = terminal && strcmp(terminal, "dumb") == 0;
    return (foci_progress){.progress = !quiet && !dumb && isatty(STDERR_FILENO) ? draw_bar : NULL};
}

void console_progress_end(const foci_progress *progress) {
    if (progress->progress)
        fprintf(stderr, "\r%50s\r", "");
}

/* The commands, one file each, and what they share. */
#ifndef FOCI_CLI_COMMANDS_H
#define FOCI_CLI_COMMANDS_H

#include <fieldfoci/fieldfoci.h>

enum { EXIT_DONE = 0, EXIT_FAILED = 1, EXIT_USAGE = 2 };

typedef struct {
    const char *name;
    unsigned bit;      /* FOCI_FOR_..., which settings it takes */
    const char *usage; /* what stands after the name */
    const char *title; /* one line */
    const char *text;  /* a paragraph for its own help */
    int (*run)(const foci_settings *settings);
} cli_command;

/* Ends with a row of zeros. */
extern const cli_command cli_commands[];

/* The command that a mistyped word is nearest to; NULL where none is near. */
const char *cli_command_nearest(const char *word);

int command_look(const foci_settings *settings);
int command_map(const foci_settings *settings);
int command_check(const foci_settings *settings);
int command_estimate(const foci_settings *settings);
int command_variogram(const foci_settings *settings);
int command_pattern(const foci_settings *settings);
int command_profiles(const foci_settings *settings);
int command_task(const foci_settings *settings);
int command_record(const foci_settings *settings);
int command_history(const foci_settings *settings);
int command_desk(const foci_settings *settings);
int command_seasons(const foci_settings *settings);
int command_plan(const foci_settings *settings);

/* ---- console.c ---- */

/* All that goes to the terminal and may hold a name from a file goes through these three. */

/* A piece of a line on standard output, as printf would write it: cleaned (foci_words_one_line), but for the newlines
 * that `format` begins and ends with. */
void console_put(const char *format, ...) FOCI_PRINTF(1, 2);

/* From here on a signal that ends the program removes first what it was writing. */
void console_catch_signals(void);

/* Where the words ask for --progress, all that goes to standard error is one JSON object a line from here on. */
void console_begin(int count, char **words);

/* That all is done. */
void console_done(void);

/* Prints "fieldfoci: ..." on standard error; the exit status that belongs to the error. */
int console_fail(const foci_error *err);

/* A note or warning on standard error, unless `quiet`. */
void console_say(bool quiet, const char *kind, const char *text);

void console_findings(bool quiet, const foci_findings *findings);

/* The findings, and those warnings that no finding has told already. */
void console_warnings(bool quiet, const foci_survey *round);

void console_sentences(bool quiet, const char *kind, const foci_sentences *sentences);

/* Prints `text` on standard output and frees it; NULL reports `err`. Checks that it was written. */
int console_print(char *text, const foci_error *err);

/* Flushes standard output; EXIT_FAILED with a line where something was lost. */
int console_end(void);

/* Notes on standard error of what is waited for, unless `quiet`. */
foci_teller console_teller(bool quiet);

/* The threads of the settings, those notes, and what is told of how far it is: a bar on standard error where that is a
 * terminal and nobody asked for quiet, lines of JSON with --progress. */
foci_execution console_execution(const foci_settings *settings);
void console_execution_end(const foci_execution *how);

/* The stops, field and disease that the command line names. */
bool console_read(foci_survey *out, const foci_settings *settings, foci_error *err) FOCI_MUST_CHECK;

/* ---- pages.c: all made from the tables of commands and settings ---- */

void page_help(void);
void page_command_help(const cli_command *command);
void page_man(void);
void page_completion(void);
void page_settings(void);

#endif

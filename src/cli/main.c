/* The program: finds the command in the table and runs it. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"

static void print_version(void) {
    printf("fieldfoci %s\n", FOCI_VERSION);
}

/* Outputs for packaging: the man page, the completion and the settings page come from the same tables as --help. */
static const struct {
    const char *word;
    void (*print)(void);
} pages[] = {
    {"--help", page_help},
    {"-h", page_help},
    {"help", page_help},
    {"--version", print_version},
    {"--help-man", page_man},
    {"--help-completion", page_completion},
    {"--help-settings", page_settings},
};

static int unknown_command(const char *word) {
    foci_error err = {0};
    const char *nearest = cli_command_nearest(word);
    if (nearest)
        foci_fail(&err, FOCI_BAD_SETTING, word, 0, "no such command; did you mean %s?", nearest);
    else
        foci_fail(&err, FOCI_BAD_SETTING, word, 0, "no such command; fieldfoci --help lists what there is");
    return console_fail(&err);
}

static bool wants_help(int count, char **words) {
    for (int i = 0; i < count && strcmp(words[i], "--") != 0; i++)
        if (strcmp(words[i], "--help") == 0 || strcmp(words[i], "-h") == 0)
            return true;
    return false;
}

/* The list of processes shows a command's words to everybody on the machine; the settings hold copies by now. */
static void hide_passwords(int count, char **words) {
    for (int i = 0; i < count; i++) {
        const size_t size = strlen(words[i]) + 1;
        char *masked = malloc(size);
        if (!masked)
            continue;
        memset(masked, 0, size);
        foci_secrets_mask(masked, size, words[i]);
        memcpy(words[i], masked, size);
        free(masked);
    }
}

static int run(const cli_command *command, int count, char **words) {
    foci_error err = {0};
    foci_settings settings = foci_settings_make();
    int status = EXIT_DONE;
    bool read = foci_settings_parse(&settings, command->bit, count, (const char *const *)words, &err);
    hide_passwords(count, words);
    if (!read)
        status = console_fail(&err);
    else
        status = command->run(&settings);
    foci_settings_free(&settings);
    return status;
}

int main(int count, char **words) {
    console_catch_signals();
    console_begin(count, words);
    if (count < 2) {
        foci_error err = {0};
        foci_fail(&err, FOCI_BAD_SETTING, NULL, 0, "no command; fieldfoci --help lists what there is");
        return console_fail(&err);
    }
    for (size_t i = 0; i < sizeof pages / sizeof *pages; i++)
        if (strcmp(words[1], pages[i].word) == 0) {
            pages[i].print();
            return console_end();
        }
    for (const cli_command *command = cli_commands; command->name; command++) {
        if (strcmp(command->name, words[1]) != 0)
            continue;
        int status = EXIT_DONE;
        if (wants_help(count - 2, words + 2))
            page_command_help(command);
        else
            status = run(command, count - 2, words + 2);
        int end = console_end();
        if (status == EXIT_DONE && end == EXIT_DONE)
            console_done();
        return status ? status : end;
    }
    return unknown_command(words[1]);
}

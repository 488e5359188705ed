/* Help, man page, completion and the settings page, all from the tables of commands and settings. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"

static bool takes(const cli_command *command, const foci_setting *row) {
    return (row->commands & command->bit) != 0;
}

/* Words wrapped at 100 columns, `indent` spaces before each line but the first. */
static void wrap(const char *text, int column, int indent) {
    while (*text) {
        size_t length = strcspn(text, " ");
        if (column > indent && column + 1 + (int)length > 100) {
            printf("\n%*s", indent, "");
            column = indent;
        } else if (column > indent) {
            putchar(' ');
            column++;
        }
        printf("%.*s", (int)length, text);
        column += (int)length;
        text += length;
        text += strspn(text, " ");
    }
    putchar('\n');
}

static void option_name(const foci_setting *row, char *name, size_t size) {
    snprintf(name, size, "--%s%s%s", row->name, row->metavar ? " " : "", row->metavar ? row->metavar : "");
}

/* Each of a setting's choices, as `format` has it. */
static void print_choices(const foci_setting *row, const char *format) {
    const char *choice = NULL;
    for (size_t i = 0; (choice = foci_setting_choice(row, i)); i++)
        printf(format, choice);
}

void page_help(void) {
    fputs("usage: fieldfoci COMMAND [INPUT...] [--option VALUE]...\n\n"
          "Turns scouting stops into disease-hotspot maps of a crop field.\n\ncommands:\n",
          stdout);
    for (const cli_command *command = cli_commands; command->name; command++)
        printf("  %-10s %s\n", command->name, command->title);
    fputs("\nfieldfoci COMMAND --help tells a command's options; fieldfoci --version the version.\n"
          "Exit status: 0 done, 1 the job could not be done, 2 the command line is wrong.\n",
          stdout);
}

void page_command_help(const cli_command *command) {
    char name[80];
    printf("usage: fieldfoci %s %s\n\n", command->name, command->usage);
    wrap(command->text, 0, 0);
    fputs("\noptions:\n", stdout);
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        if (!takes(command, row))
            continue;
        option_name(row, name, sizeof name);
        printf("  %-28s ", name);
        if (strlen(name) > 28)
            printf("\n%31s", "");
        wrap(row->help, 31, 31);
        if (row->choices.rows) {
            printf("%31sone of:", "");
            print_choices(row, " %s");
            putchar('\n');
        }
        if (row->standard)
            printf("%31sdefault: %s\n", "", row->standard);
    }
}

/* Roff: hyphens are minus signs, a leading point or quote is protected. */
static void roff(const char *text) {
    if (*text == '.' || *text == '\'')
        fputs("\\&", stdout);
    for (; *text; text++) {
        if (*text == '-')
            fputs("\\-", stdout);
        else if (*text == '\\')
            fputs("\\e", stdout);
        else
            putchar(*text);
    }
}

static void roff_option(const foci_setting *row) {
    fputs(".TP\n\\fB\\-\\-", stdout);
    roff(row->name);
    fputs("\\fR", stdout);
    if (row->metavar)
        printf(" \\fI%s\\fR", row->metavar);
    putchar('\n');
    roff(row->help);
    if (row->standard)
        printf(" (default: %s)", row->standard);
    putchar('\n');
}

void page_man(void) {
    printf(".TH FIELDFOCI 1 \"\" \"fieldfoci %s\" \"User Commands\"\n", FOCI_VERSION);
    fputs(".SH NAME\nfieldfoci \\- disease\\-hotspot maps of a crop field from scouting stops\n"
          ".SH SYNOPSIS\n.B fieldfoci\n.I COMMAND\n[\\fIINPUT\\fR...] [\\fB\\-\\-option\\fR \\fIVALUE\\fR]...\n"
          ".SH DESCRIPTION\nEstimates disease between scouting stops with its uncertainty, finds hotspots and cuts the "
          "field "
          "into zones. Lengths take a unit (12, 12m, 40ft), areas too (0.5, 0.5ha, 2ac).\n.SH COMMANDS\n",
          stdout);
    for (const cli_command *command = cli_commands; command->name; command++) {
        printf(".SS fieldfoci %s ", command->name);
        roff(command->usage);
        putchar('\n');
        roff(command->text);
        putchar('\n');
        for (const foci_setting *row = foci_setting_table; row->name; row++)
            if (takes(command, row))
                roff_option(row);
    }
    fputs(".SH EXIT STATUS\n0 done; 1 the job could not be done; 2 the command line is wrong.\n"
          ".SH ENVIRONMENT\n.TP\nSOURCE_DATE_EPOCH\nthe time that outputs state as that of their making, seconds since "
          "1970.\n"
          ".SH CAUTION\nThe map is an estimate, not a diagnosis and not a recommendation. The label is the law; local "
          "rules come "
          "first; the program names no product and no rate.\n",
          stdout);
}

void page_completion(void) {
    fputs("# bash completion for fieldfoci\n_fieldfoci() {\n    local word=${COMP_WORDS[COMP_CWORD]} "
          "before=${COMP_WORDS[COMP_CWORD-1]} options=\n    COMPREPLY=()\n    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
          "        COMPREPLY=($(compgen -W \"",
          stdout);
    for (const cli_command *command = cli_commands; command->name; command++)
        printf("%s ", command->name);
    fputs("--help --version\" -- \"$word\"))\n        return\n    fi\n    case $before in\n", stdout);
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        if (row->choices.rows) {
            printf("    --%s) COMPREPLY=($(compgen -W \"", row->name);
            print_choices(row, "%s ");
            fputs("\" -- \"$word\")); return ;;\n", stdout);
        } else if (row->kind->is_file) {
            printf("    --%s) COMPREPLY=($(compgen -f -- \"$word\")); return ;;\n", row->name);
        }
    }
    fputs("    esac\n    case ${COMP_WORDS[1]} in\n", stdout);
    for (const cli_command *command = cli_commands; command->name; command++) {
        printf("    %s) options=\"", command->name);
        for (const foci_setting *row = foci_setting_table; row->name; row++)
            if (takes(command, row))
                printf("--%s ", row->name);
        fputs("--help\" ;;\n", stdout);
    }
    fputs("    esac\n    case $word in\n    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
          "    *) COMPREPLY=($(compgen -f -- \"$word\")) ;;\n    esac\n}\ncomplete -F _fieldfoci fieldfoci\n",
          stdout);
}

static void settings_row(const foci_setting *row) {
    char name[80];
    option_name(row, name, sizeof name);
    printf("| `%s` |", name);
    for (const cli_command *command = cli_commands; command->name; command++)
        if (takes(command, row))
            printf(" %s", command->name);
    printf(" | %s | ", row->standard ? row->standard : "");
    if (row->choices.rows)
        print_choices(row, "`%s` ");
    else if (row->most > row->least)
        printf("%s %g%s", row->above ? "above" : "from", row->least, isinf(row->most) ? "" : " to ");
    if (!row->choices.rows && row->most > row->least && !isinf(row->most))
        printf("%g", row->most);
    printf(" | %s |\n", row->help);
}

void page_settings(void) {
    fputs("# Settings\n\n| option | commands | default | range | meaning |\n| --- | --- | --- | --- | --- |\n", stdout);
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        settings_row(row);
}

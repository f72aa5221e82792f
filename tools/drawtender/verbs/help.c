/* Help, out of the tables of verbs, options and outcomes. */
#include "tools/drawtender/verbs/help.h"

#include "base/text/wrapped.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/outcome.h"
#include "tools/drawtender/verbs/verbs.h"

#include <string.h>

enum { WHAT_COLUMN = 22, CODE_COLUMN = 7 };

const char help_cautions[] =
    "CAUTION: a moving span and its counterweight crush fingers, and they start without warning\n"
    "when someone elsewhere asks. Keep hands, hair, children and animals clear; look before you\n"
    "raise or lower. Have a hard-wired emergency stop that cuts the motor's supply within reach,\n"
    "and guards where people can come near. What reckon calculates is not a proof, and a worm "
    "that\n"
    "locks on paper is not a brake. Local electrical codes and licensed practice come\n"
    "first. This software is not a safety device: neither stop nor emergency-stop replaces the\n"
    "hard-wired one.\n";

/* ---- exit codes: their usual meaning, then what single verbs add */

static void add(char *text, const char *words) {
    size_t used = strlen(text);
    snprintf(text + used, HELP_EXIT_SIZE - used, "%s", words);
}

/* Returns what the verb adds to this outcome, or NULL. */
static const char *exit_of(const struct verb *verb, enum outcome outcome) {
    for (unsigned i = 0; i < VERB_EXITS && verb->exit[i].outcome != OUTCOME_DONE; i++) {
        if (verb->exit[i].outcome == outcome) {
            return verb->exit[i].what;
        }
    }
    return NULL;
}

/* Adds "; logbook, opening: the record cannot be read": verbs that add the same are told once. */
static void add_exits(char *text, enum outcome outcome) {
    for (unsigned i = 0; i < VERBS; i++) {
        const char *what = exit_of(&verbs[i], outcome);
        bool is_told = what == NULL;
        for (unsigned k = 0; k < i && !is_told; k++) {
            const char *before = exit_of(&verbs[k], outcome);
            is_told = before != NULL && strcmp(before, what) == 0;
        }
        if (is_told) {
            continue;
        }
        add(text, text[0] != '\0' ? "; " : "");
        for (unsigned k = i; k < VERBS; k++) {
            const char *same = exit_of(&verbs[k], outcome);
            if (same != NULL && strcmp(same, what) == 0) {
                add(text, k > i ? ", " : "");
                add(text, verb_names[k]);
            }
        }
        add(text, ": ");
        add(text, what);
    }
}

void help_describe_exit(const struct outcome_row *row, char text[HELP_EXIT_SIZE]) {
    text[0] = '\0';
    add(text, row->what);
    add_exits(text, row->outcome);
}

static void describe_exit_of(const struct verb *verb, const struct outcome_row *row, char *text) {
    const char *special = exit_of(verb, row->outcome);
    text[0] = '\0';
    add(text, row->what);
    if (special != NULL) {
        add(text, text[0] != '\0' ? "; or " : "");
        add(text, special);
    }
}

/* Of one verb, or with NULL of all. */
static void print_exits(const struct verb *verb, FILE *out) {
    fputs("\nexit codes:\n", out);
    for (unsigned i = 0; i < outcomes_count; i++) {
        char left[16];
        char text[HELP_EXIT_SIZE];
        if (verb != NULL) {
            describe_exit_of(verb, &outcomes[i], text);
        } else {
            help_describe_exit(&outcomes[i], text);
        }
        snprintf(left, sizeof left, "  %d", (int)outcomes[i].outcome);
        if (text[0] != '\0') {
            wrapped_row(out, left, CODE_COLUMN, text);
        }
    }
}

/* ---- the whole tool, and one verb */

static void print_forms(const struct verb *verb, FILE *out) {
    for (unsigned i = 0; i < VERB_FORMS && verb->form[i].what != NULL; i++) {
        char left[96];
        snprintf(left, sizeof left, "  %s %s", verb_names[verb - verbs], verb->form[i].words);
        wrapped_row(out, left, WHAT_COLUMN, verb->form[i].what);
    }
}

static void print_all(FILE *out) {
    fputs("usage: drawtender [OPTION...] VERB [WORD...]\n"
          "Operates a model drawbridge through its daemon, drawtenderd.\n"
          "\n"
          "verbs:\n",
          out);
    for (unsigned i = 0; i < VERBS; i++) {
        print_forms(&verbs[i], out);
    }
    wrapped_row(out, "  help [VERB]", WHAT_COLUMN, "prints this, or help on one verb");
    fputs("\noptions:\n", out);
    option_table_help(&tool_options_table, 0, verb_names, out);
    wrapped_row(out, "  --", WHAT_COLUMN, "everything after it is a word, not an option");
    print_exits(NULL, out);
}

/* Of a verb that asks no daemon without those that say where one is. */
static void print_options(const struct verb *verb, FILE *out) {
    enum { ROWS_MOST = 64 };
    static const char of_daemon[] = "--host --port --bus --no-wait";
    struct option_row rows[ROWS_MOST];
    struct option_table table = tool_options_table;
    table.row = rows;
    table.rows = 0;
    for (size_t i = 0; i < tool_options_table.rows && table.rows < ROWS_MOST; i++) {
        if (!verb->is_local || strstr(of_daemon, tool_options_table.row[i].name) == NULL) {
            rows[table.rows++] = tool_options_table.row[i];
        }
    }
    option_table_help(&table, verb_id_bit((enum verb_id)(verb - verbs)), NULL, out);
}

static void print_verb(const struct verb *verb, FILE *out) {
    fputs("usage:\n", out);
    print_forms(verb, out);
    if (verb->waits != NULL) {
        fprintf(out, "\nIt waits %s.\n", verb->waits);
    }
    if (verb->details != NULL) {
        fputc('\n', out);
        wrapped_text(out, 0, verb->details);
    }
    for (unsigned i = 0; i < VERB_EXAMPLES && verb->example[i] != NULL; i++) {
        fprintf(out, "%s  drawtender %s\n", i == 0 ? "\nexamples:\n" : "", verb->example[i]);
    }
    fputs("\noptions:\n", out);
    print_options(verb, out);
    print_exits(verb, out);
}

void help_print(enum verb_id id, FILE *out) {
    if (id == VERBS) {
        print_all(out);
    } else {
        print_verb(&verbs[id], out);
    }
    fputc('\n', out);
    fputs(help_cautions, out);
}

/* ---- tools/README.md */

/* Prints a cell's text with '|' escaped, as the tables of Markdown want it. */
static void print_cell(FILE *out, const char *text) {
    for (; text[0] != '\0'; text++) {
        fprintf(out, text[0] == '|' ? "\\|" : "%c", text[0]);
    }
}

static void print_verb_rows(const struct verb *verb, FILE *out) {
    for (unsigned i = 0; i < VERB_FORMS && verb->form[i].what != NULL; i++) {
        const char *words = verb->form[i].words;
        fprintf(out, "| `%s%s", verb_names[verb - verbs], words[0] != '\0' ? " " : "");
        print_cell(out, words);
        fprintf(out, "` | %s | %s |\n", verb->form[i].what,
                i == 0 && verb->waits != NULL ? verb->waits : "");
    }
}

static void print_option_row(const struct option_row *row, FILE *out) {
    bool is_first = true;
    fprintf(out, "| `%s%s%s` | ", row->name, row->argument != NULL ? " " : "",
            row->argument != NULL ? row->argument : "");
    for (unsigned i = 0; i < VERBS; i++) {
        if ((row->commands >> i & 1) != 0) {
            fprintf(out, "%s`%s`", is_first ? "" : ", ", verb_names[i]);
            is_first = false;
        }
    }
    fprintf(out, "%s | %s | %s |\n", is_first ? "all" : "", row->what,
            row->usual != NULL ? row->usual : "");
}

void help_print_markdown(FILE *out) {
    fputs("| verb | what it does | waits |\n| --- | --- | --- |\n", out);
    for (unsigned i = 0; i < VERBS; i++) {
        print_verb_rows(&verbs[i], out);
    }
    fputs("\n| option | for | what it does | without it |\n| --- | --- | --- | --- |\n", out);
    for (size_t i = 0; i < tool_options_table.rows; i++) {
        print_option_row(&tool_options_table.row[i], out);
    }
    fputs("\n| exit code | what happened |\n| --- | --- |\n", out);
    for (unsigned i = 0; i < outcomes_count; i++) {
        char text[HELP_EXIT_SIZE];
        help_describe_exit(&outcomes[i], text);
        fprintf(out, "| %d | %s |\n", (int)outcomes[i].outcome, text);
    }
}

/* Completion for zsh: _arguments for options, whose specifications come from the table; words of a
 * verb by the verb's name. */
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/completion.h"

#include <string.h>

/* Within [ ] of a specification brackets, and within it colons, end what they stand in. */
static void print_help(const char *text, FILE *out) {
    for (; text[0] != '\0'; text++) {
        fputs(strchr("[]:\\", text[0]) != NULL ? "\\" : text[0] == '\'' ? "'\\'" : "", out);
        fputc(text[0], out);
    }
}

static void print_action(const struct completion_choice *choice, FILE *out) {
    if (choice->words[0] != '\0') {
        fprintf(out, "(%s)", choice->words);
    } else if (choice->is_file) {
        fputs("_files", out);
    } else if (choice->is_folder) {
        fputs("_files -/", out);
    }
}

static void print_option(const struct option_row *row, FILE *out) {
    fprintf(out, "'%s%s[", row->name, row->argument != NULL ? "=" : "");
    print_help(row->what, out);
    fputc(']', out);
    if (row->argument != NULL) {
        struct completion_choice choice = completion_of_option(row);
        fprintf(out, ":%s:", row->argument);
        print_action(&choice, out);
    }
    fputc('\'', out);
}

/* The options of one verb, or with 0 all. */
static void print_options(const struct command_line *command, uint64_t verb, FILE *out) {
    for (size_t i = 0; i < command->options->rows; i++) {
        const struct option_row *row = &command->options->row[i];
        if (verb == 0 || row->commands == 0 || (row->commands & verb) != 0) {
            fputs(" \\\n        ", out);
            print_option(row, out);
        }
    }
}

/* Places that come before another need a specification, though nothing is known of them. */
static void print_words(unsigned verb, FILE *out) {
    bool repeats = false;
    for (unsigned at = 0; at < completion_places(verb) && !repeats; at++) {
        struct completion_choice choice = completion_of_word(verb, at, &repeats);
        if (repeats) {
            fputs(" \\\n        '*:word:", out);
        } else {
            fprintf(out, " \\\n        '%u::word:", at + 2);
        }
        print_action(&choice, out);
        fputc('\'', out);
    }
}

static void print_verb_list(FILE *out) {
    fputs("local -a verbs=(\n    'help:prints help, or help on one verb'\n", out);
    for (unsigned i = 0; i < VERBS; i++) {
        fprintf(out, "    '%s:", verb_names[i]);
        print_help(verbs[i].form[0].what, out);
        fputs("'\n", out);
    }
    fputs(")\n", out);
}

/* The verb is the first word that is no option and no option's value. */
static void print_verbs(const struct command_line *command, FILE *out) {
    print_verb_list(out);
    fputs("local verb i\nfor ((i = 2; i < CURRENT; i++)); do\n    case $words[i] in\n    ", out);
    bool is_first = true;
    for (size_t i = 0; i < command->options->rows; i++) {
        if (command->options->row[i].argument != NULL) {
            fprintf(out, "%s%s", is_first ? "" : "|", command->options->row[i].name);
            is_first = false;
        }
    }
    fputs(") ((i++)) ;;\n    -*) ;;\n    *) verb=$words[i]; break ;;\n    esac\ndone\ncase $verb "
          "in\n",
          out);
    for (unsigned i = 0; i < VERBS; i++) {
        fprintf(out, "%s)\n    _arguments '1:verb:'", verb_names[i]);
        print_words(i, out);
        print_options(command, verb_id_bit((enum verb_id)i), out);
        fputs(" ;;\n", out);
    }
    fputs("help)\n    _arguments '1:verb:' '2:verb:{_describe verb verbs}'", out);
    print_options(command, 0, out);
    fputs(" ;;\n*)\n    _arguments '1:verb:{_describe verb verbs}'", out);
    print_options(command, 0, out);
    fputs(" ;;\nesac\n", out);
}

void completion_zsh(const struct command_line *command, FILE *out) {
    fprintf(out, "#compdef %s\n# Made from its own tables.\n", command->program);
    if (command->has_verbs) {
        print_verbs(command, out);
    } else {
        fputs("_arguments", out);
        print_options(command, 0, out);
        fputc('\n', out);
    }
}

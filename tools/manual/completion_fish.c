/* Completion for fish: a line for each verb, each option, and each verb's words. */
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/completion.h"

#include <string.h>

static const char before_quote[] = "\\";

static void print_description(const char *text, FILE *out) {
    fputs(" -d ", out);
    completion_quote(out, text, before_quote);
    fputc('\n', out);
}

static void print_option(const struct command_line *command, const struct option_row *row,
                         FILE *out) {
    struct completion_choice choice = completion_of_option(row);
    fprintf(out, "complete -c %s", command->program);
    if (row->commands != 0) {
        fputs(" -n '__fish_seen_subcommand_from", out);
        for (unsigned i = 0; i < VERBS; i++) {
            fprintf(out, "%s%s", (row->commands >> i & 1) != 0 ? " " : "",
                    (row->commands >> i & 1) != 0 ? verb_names[i] : "");
        }
        fputc('\'', out);
    }
    fprintf(out, " -l %s", row->name + strlen("--"));
    if (row->argument != NULL && choice.words[0] != '\0') {
        fprintf(out, " -x -a '%s'", choice.words);
    } else if (row->argument != NULL) {
        fputs(choice.is_file || choice.is_folder ? " -r -F" : " -x", out);
    }
    print_description(row->what, out);
}

static void print_verb(const struct command_line *command, unsigned verb, FILE *out) {
    fprintf(out, "complete -c %s -n __fish_use_subcommand -a %s", command->program,
            verb_names[verb]);
    print_description(verbs[verb].form[0].what, out);
    bool repeats = false;
    bool has_files = false;
    for (unsigned at = 0; at < completion_places(verb) && !repeats; at++) {
        struct completion_choice choice = completion_of_word(verb, at, &repeats);
        has_files = has_files || choice.is_file;
        if (choice.words[0] != '\0') {
            fprintf(out, "complete -c %s -n '__fish_seen_subcommand_from %s' -a '%s'\n",
                    command->program, verb_names[verb], choice.words);
        }
    }
    if (has_files) {
        fprintf(out, "complete -c %s -n '__fish_seen_subcommand_from %s' -F\n", command->program,
                verb_names[verb]);
    }
}

void completion_fish(const struct command_line *command, FILE *out) {
    fprintf(out, "# fish completion for %s, made from its own tables.\ncomplete -c %s -f\n",
            command->program, command->program);
    for (unsigned i = 0; command->has_verbs && i < VERBS; i++) {
        print_verb(command, i, out);
    }
    if (command->has_verbs) {
        fprintf(out, "complete -c %s -n __fish_use_subcommand -a help", command->program);
        print_description("prints help, or help on one verb", out);
        fprintf(out, "complete -c %s -n '__fish_seen_subcommand_from help' -a '", command->program);
        for (unsigned i = 0; i < VERBS; i++) {
            fprintf(out, "%s%s", i > 0 ? " " : "", verb_names[i]);
        }
        fputs("'\n", out);
    }
    for (size_t i = 0; i < command->options->rows; i++) {
        print_option(command, &command->options->row[i], out);
    }
}

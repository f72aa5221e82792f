/* Completion for bash: one function that looks at the words before the cursor. */
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/completion.h"

#include <string.h>

static void print_choice(const struct completion_choice *choice, FILE *out) {
    if (choice->words[0] != '\0') {
        fprintf(out, " words='%s'", choice->words);
    }
    fputs(choice->is_file ? " kind=file" : choice->is_folder ? " kind=directory" : "", out);
    fputs(" ;;\n", out);
}

/* What follows an option, and how many words an option takes. */
static void print_options(const struct command_line *command, FILE *out) {
    fputs("    case $previous in\n", out);
    for (size_t i = 0; i < command->options->rows; i++) {
        const struct option_row *row = &command->options->row[i];
        if (row->argument != NULL) {
            struct completion_choice choice = completion_of_option(row);
            fprintf(out, "    %s) is_value=yes", row->name);
            print_choice(&choice, out);
        }
    }
    fputs("    esac\n", out);
}

static void print_takers(const struct command_line *command, FILE *out) {
    bool is_first = true;
    fputs("        case ${COMP_WORDS[i]} in\n        ", out);
    for (size_t i = 0; i < command->options->rows; i++) {
        if (command->options->row[i].argument != NULL) {
            fprintf(out, "%s%s", is_first ? "" : "|", command->options->row[i].name);
            is_first = false;
        }
    }
    fputs(") i=$((i + 1)) ;;\n        -*) ;;\n", out);
    fputs("        *) if [[ -z $verb ]]; then verb=${COMP_WORDS[i]}; else at=$((at + 1)); fi ;;\n"
          "        esac\n",
          out);
}

static void print_names(const struct command_line *command, uint64_t verb, FILE *out) {
    for (size_t i = 0; i < command->options->rows; i++) {
        const struct option_row *row = &command->options->row[i];
        if (verb == 0 || row->commands == 0 || (row->commands & verb) != 0) {
            fprintf(out, " %s", row->name);
        }
    }
}

/* Which options the verb takes; all before it. */
static void print_option_names(const struct command_line *command, FILE *out) {
    fputs("        case $verb in\n", out);
    for (unsigned i = 0; command->has_verbs && i < VERBS; i++) {
        fprintf(out, "        %s) words='", verb_names[i]);
        print_names(command, verb_id_bit((enum verb_id)i), out);
        fputs("' ;;\n", out);
    }
    fputs("        *) words='", out);
    print_names(command, 0, out);
    fputs("' ;;\n        esac\n", out);
}

static void print_verbs(FILE *out) {
    fputs("    elif [[ -z $verb ]]; then\n        words='help", out);
    for (unsigned i = 0; i < VERBS; i++) {
        fprintf(out, " %s", verb_names[i]);
    }
    fputs("'\n    else\n        case $verb:$at in\n        help:0) words='", out);
    for (unsigned i = 0; i < VERBS; i++) {
        fprintf(out, "%s%s", i > 0 ? " " : "", verb_names[i]);
    }
    fputs("' ;;\n", out);
    for (unsigned i = 0; i < VERBS; i++) {
        bool repeats = false;
        for (unsigned at = 0; at < completion_places(i) && !repeats; at++) {
            struct completion_choice choice = completion_of_word(i, at, &repeats);
            if (completion_is_known(&choice) && repeats) {
                fprintf(out, "        %s:*)", verb_names[i]);
                print_choice(&choice, out);
            } else if (completion_is_known(&choice)) {
                fprintf(out, "        %s:%u)", verb_names[i], at);
                print_choice(&choice, out);
            }
        }
    }
    fputs("        esac\n", out);
}

void completion_bash(const struct command_line *command, FILE *out) {
    fprintf(out,
            "# bash completion for %s, made from its own tables.\n_%s() {\n"
            "    local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD - 1]}\n"
            "    local words= kind= is_value= verb= at=0 i\n"
            "    COMPREPLY=()\n",
            command->program, command->program);
    print_options(command, out);
    fputs("    for ((i = 1; i < COMP_CWORD; i++)); do\n", out);
    print_takers(command, out);
    fputs("    done\n    if [[ -n $is_value ]]; then\n        :\n"
          "    elif [[ $current == -* ]]; then\n",
          out);
    print_option_names(command, out);
    if (command->has_verbs) {
        print_verbs(out);
    }
    fputs("    fi\n"
          "    [[ -z $words ]] || mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$current\")\n"
          "    if [[ -n $kind ]]; then\n"
          "        compopt -o filenames 2>/dev/null\n"
          "        mapfile -t -O ${#COMPREPLY[@]} COMPREPLY < <(compgen -A \"$kind\" -- "
          "\"$current\")\n"
          "    fi\n}\n",
          out);
    fprintf(out, "complete -F _%s %s\n", command->program, command->program);
}

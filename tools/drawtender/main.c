/* main.c: the command-line tool. */
#include "tools/drawtender/options.h"
#include "tools/drawtender/run.h"
#include "tools/drawtender/verbs/help.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

static unsigned columns(void) {
    struct winsize size;
    return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

static bool can_redraw(void) {
    const char *terminal = getenv("TERM");
    return isatty(STDERR_FILENO) && terminal != NULL && strcmp(terminal, "dumb") != 0;
}

/* "help raise", "raise --help" and "--help raise" are the same. */
static int print_help(const struct tool_options *options) {
    bool is_help_verb = options->verb != NULL && strcmp(options->verb, "help") == 0;
    const char *name =
        is_help_verb ? (options->words > 0 ? options->word[0] : NULL) : options->verb;
    enum verb_id verb = name != NULL ? verb_id_find(name) : VERBS;
    if (name != NULL && verb == VERBS) {
        run_complain_of_verb(name, stderr);
        return OUTCOME_USAGE;
    }
    help_print(verb, stdout);
    return OUTCOME_DONE;
}

int main(int count, char *arguments[]) {
    struct tool_options options;
    struct error error;
    if (!options_parse(count - 1, arguments + 1, &options, &error)) {
        option_table_complain("drawtender", &error, stderr);
        return OUTCOME_USAGE;
    }
    if (options.wants_help || (options.verb != NULL && strcmp(options.verb, "help") == 0)) {
        return print_help(&options);
    }
    if (options.wants_version) {
        printf("drawtender %s\n", DRAWTENDER_VERSION);
        return OUTCOME_DONE;
    }
    const struct tool_streams streams = {
        .out = stdout, .err = stderr, .is_terminal = can_redraw(), .columns = columns()};
    return run_verb(&options, &streams);
}

/* drawtender(1). */
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/help.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/pages.h"
#include "tools/manual/roff.h"

static void print_exits_of(const struct verb *verb, FILE *out) {
    for (unsigned i = 0; i < VERB_EXITS && verb->exit[i].outcome != OUTCOME_DONE; i++) {
        char text[256];
        snprintf(text, sizeof text, "Exit code %d: %s.", (int)verb->exit[i].outcome,
                 verb->exit[i].what);
        roff_text(out, text);
    }
}

static void print_verb(enum verb_id id, FILE *out) {
    const struct verb *verb = &verbs[id];
    for (unsigned i = 0; i < VERB_FORMS && verb->form[i].what != NULL; i++) {
        char form[256];
        char what[256];
        snprintf(form, sizeof form, "%s%s%s", verb_names[id],
                 verb->form[i].words[0] != '\0' ? " " : "", verb->form[i].words);
        snprintf(what, sizeof what, "%s.", verb->form[i].what);
        roff_item(out, form);
        roff_text(out, what);
    }
    if (verb->waits != NULL) {
        char text[256];
        snprintf(text, sizeof text, "Waits %s.", verb->waits);
        roff_text(out, text);
    }
    if (verb->details != NULL) {
        roff_text(out, verb->details);
    }
    print_exits_of(verb, out);
}

static void print_option(const struct option_row *row, FILE *out) {
    char form[128];
    char takers[256];
    char text[1024];
    snprintf(form, sizeof form, "%s%s%s", row->name, row->argument != NULL ? " " : "",
             row->argument != NULL ? row->argument : "");
    option_table_takers(row, verb_names, takers, sizeof takers);
    snprintf(text, sizeof text, "%s%s%s%s%s%s", takers, takers[0] != '\0' ? ": " : "", row->what,
             row->usual != NULL ? " (without it: " : "", row->usual != NULL ? row->usual : "",
             row->usual != NULL ? ")." : ".");
    roff_item(out, form);
    roff_text(out, text);
}

static void print_exits(FILE *out) {
    for (unsigned i = 0; i < outcomes_count; i++) {
        char code[16];
        char text[HELP_EXIT_SIZE];
        snprintf(code, sizeof code, "%d", (int)outcomes[i].outcome);
        help_describe_exit(&outcomes[i], text);
        roff_item(out, code);
        roff_text(out, text);
    }
}

static void print_examples(FILE *out) {
    roff_text(out, "Of single verbs:");
    for (unsigned i = 0; i < VERBS; i++) {
        for (unsigned k = 0; k < VERB_EXAMPLES && verbs[i].example[k] != NULL; k++) {
            char line[256];
            snprintf(line, sizeof line, "drawtender %s\n", verbs[i].example[k]);
            roff_literal(out, line);
        }
    }
}

void page_tool(FILE *out) {
    roff_section(out, "SYNOPSIS");
    fputs(".B drawtender\n.RI [ OPTION \"...] \" VERB \" [\" WORD ...]\n", out);
    roff_section(out, "DESCRIPTION");
    roff_text(out, "Operates a model drawbridge through its daemon, drawtenderd: one verb per run. "
                   "Options may be given anywhere, as `--name value` or `--name=value`; an option "
                   "that the verb does not have is refused.");
    roff_paragraph(out, "If the limit of `raise` or `lower` expires, or the connection is lost, "
                        "the bridge continues by itself. Ctrl-C, SIGTERM or a terminal that goes "
                        "away asks the span to stop where it is.");
    roff_section(out, "VERBS");
    for (unsigned i = 0; i < VERBS; i++) {
        print_verb((enum verb_id)i, out);
    }
    roff_item(out, "help [VERB]");
    roff_text(out, "prints help, or help on one verb.");
    roff_section(out, "OPTIONS");
    for (size_t i = 0; i < tool_options_table.rows; i++) {
        print_option(&tool_options_table.row[i], out);
    }
    roff_item(out, "--");
    roff_text(out, "everything after it is a word, not an option.");
    roff_section(out, "EXIT STATUS");
    print_exits(out);
    roff_section(out, "EXAMPLES");
    print_examples(out);
    roff_section(out, "CAUTION");
    roff_text(out, help_cautions);
}

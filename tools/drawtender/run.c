/* One run of the tool. */
#include "tools/drawtender/run.h"

#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/verbs/verbs.h"

#include <errno.h>
#include <string.h>

static const char *words_of_error(const struct tool *tool, enum outcome outcome) {
    return tool->error.what[0] != '\0' ? tool->error.what : outcome_name(outcome);
}

static void print_json(const struct tool *tool, enum outcome outcome) {
    const struct picture *picture = &tool->link.picture;
    cJSON *object = picture->has_phase ? json_state(picture) : cJSON_CreateObject();
    cJSON_AddStringToObject(object, "verb", tool->options->verb);
    cJSON_AddStringToObject(object, "outcome", outcome_name(outcome));
    const char *words = outcome == OUTCOME_DONE ? tool->result : words_of_error(tool, outcome);
    cJSON_AddStringToObject(object, "words", words);
    json_print(tool->streams.out, object);
}

static void print_text(const struct tool *tool, enum outcome outcome) {
    if (outcome != OUTCOME_DONE) {
        fprintf(tool->streams.err, "drawtender: %s: %s\n", tool->options->verb,
                words_of_error(tool, outcome));
    } else if (tool->result[0] != '\0' && !tool->options->is_quiet) {
        fprintf(tool->streams.out, "%s\n", tool->result);
    }
}

/* Nothing is written over what is read: a slip of the pen would cost the timetable or the record.
 */
static bool check_files(const struct tool_options *options, struct error *error) {
    const char *const read[] = {options->words > 0 ? options->word[0] : NULL, options->config,
                                options->record};
    const struct {
        const char *option, *file;
    } written[] = {
        {"--keep", options->keep}, {"--script", options->script}, {"--diagram", options->diagram}};
    for (size_t w = 0; w < sizeof written / sizeof written[0]; w++) {
        for (size_t r = 0; written[w].file != NULL && r < sizeof read / sizeof read[0]; r++) {
            if (read[r] != NULL && file_text_is_same(written[w].file, read[r])) {
                return error_set(error, "", "%s would overwrite %.150s, which is an input",
                                 written[w].option, read[r]);
            }
        }
    }
    return options->script == NULL || options->diagram == NULL ||
           !file_text_is_same(options->script, options->diagram) ||
           error_set(error, "", "--script and --diagram name the same file");
}

/* A report of which a part is missing is none. What was asked of a bridge is done, whoever reads.
 */
static enum outcome end_output(struct tool *tool, enum outcome outcome) {
    errno = 0;
    bool is_whole = fflush(tool->streams.out) == 0 && ferror(tool->streams.out) == 0;
    if (is_whole || outcome != OUTCOME_DONE || tool->link.picture.has_phase) {
        return outcome;
    }
    fprintf(tool->streams.err, "drawtender: %s: not all of its output could be written%s%s\n",
            tool->options->verb, errno != 0 ? ": " : "", errno != 0 ? strerror(errno) : "");
    return OUTCOME_UNWRITTEN;
}

void run_complain_of_verb(const char *name, FILE *err) {
    const char *nearest = name != NULL ? verb_id_nearest(name) : NULL;
    if (name == NULL) {
        fputs("drawtender: no verb; see drawtender --help\n", err);
    } else if (nearest != NULL) {
        fprintf(err, "drawtender: no verb '%s'; did you mean '%s'?\n", name, nearest);
    } else {
        fprintf(err, "drawtender: no verb '%s'; see drawtender --help\n", name);
    }
}

/* Says which word is too much, or what is missing. */
static void complain_of_words(const struct tool_options *options, const struct verb *verb,
                              FILE *err) {
    if (options->words > verb->words_max) {
        fprintf(err, "drawtender: %s: unexpected word '%s'", options->verb,
                options->word[verb->words_max]);
    } else {
        fprintf(err, "drawtender: %s: a word is missing", options->verb);
    }
    for (unsigned i = 0; i < VERB_FORMS && verb->form[i].what != NULL; i++) {
        const char *words = verb->form[i].words;
        fprintf(err, "%s%s%s%s", i == 0 ? "; usage: drawtender " : ", or ", options->verb,
                words[0] != '\0' ? " " : "", words);
    }
    fputc('\n', err);
}

enum outcome run_verb(const struct tool_options *options, const struct tool_streams *streams) {
    struct tool tool = {.options = options, .streams = *streams};
    tool.link.command.socket = tool.link.info.socket = -1;
    enum verb_id id = options->verb != NULL ? verb_id_find(options->verb) : VERBS;
    if (id == VERBS) {
        run_complain_of_verb(options->verb, streams->err);
        return OUTCOME_USAGE;
    }
    const struct verb *verb = &verbs[id];
    if (options->words < verb->words_min || options->words > verb->words_max) {
        complain_of_words(options, verb, streams->err);
        return OUTCOME_USAGE;
    }
    bool is_harmless = check_files(options, &tool.error);
    enum outcome outcome = is_harmless ? verbs_run(id, &tool) : OUTCOME_USAGE;
    bridge_link_close(&tool.link);
    if (options->is_json && !tool.has_printed && outcome != OUTCOME_USAGE) {
        print_json(&tool, outcome);
    } else if (!tool.has_printed || outcome != OUTCOME_DONE) {
        print_text(&tool, outcome);
    }
    return end_output(&tool, outcome);
}

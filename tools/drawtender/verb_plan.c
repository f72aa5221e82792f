#include "tools/drawtender/file_text.h"
#include "tools/drawtender/timetable_words.h"
#include "tools/drawtender/verbs.h"

#include <stdlib.h>

enum { SEED = 1 };

/* Writes a whole file or none. */
static bool write_file(struct tool *tool, const char *path, const struct timetable *timetable,
                       bool is_script) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    if (out == NULL) {
        return error_set(&tool->error, "", "no memory left");
    }
    if (is_script) {
        timetable_script(out, timetable, tool->options->bus);
    } else {
        timetable_diagram(out, timetable);
    }
    struct error inner;
    bool is_written = fclose(out) == 0 && file_text_replace(path, text, &inner);
    free(text);
    return is_written ||
           error_set(&tool->error, "", "could not write %.100s: %.100s", path, inner.what);
}

static enum outcome write_files(struct tool *tool, const struct timetable *timetable) {
    const struct tool_options *options = tool->options;
    bool is_written =
        (options->script == NULL || write_file(tool, options->script, timetable, true)) &&
        (options->diagram == NULL || write_file(tool, options->diagram, timetable, false));
    return is_written ? OUTCOME_DONE : OUTCOME_UNWRITTEN;
}

static enum outcome report(struct tool *tool, const struct timetable *timetable) {
    const struct plan *plan = &timetable->plan;
    bool is_shown = !tool->options->is_quiet && !tool->options->is_json;
    if (is_shown) {
        timetable_words(tool->streams.out, timetable);
    }
    size_t conflicts = timetable_conflicts(tool->streams.err, timetable);
    if (conflicts > 0) {
        error_set(&tool->error, "", "boats that wait too long: %zu", conflicts);
        return OUTCOME_REFUSED;
    }
    snprintf(tool->said, sizeof tool->said,
             "%zu trains, %zu boats, %zu openings; boats wait %lld s in all", plan->trains,
             plan->boats, plan->openings, (long long)plan->waiting_s);
    return OUTCOME_DONE;
}

static bool read_and_plan(struct tool *tool, struct timetable *timetable) {
    const char *path = tool->options->word[0];
    uint32_t seed = tool->options->seed > 0 ? tool->options->seed : SEED;
    struct error error = {{0}, {0}};
    char *text = file_text_read(path, &error);
    if (text == NULL) {
        return error_set(&tool->error, "", "%.100s: %.100s", path, error.what);
    }
    bool is_planned =
        timetable_read(timetable, text, seed, &error) && timetable_plan(timetable, &error);
    free(text);
    return is_planned || error_set(&tool->error, "", "%.70s: %.20s%s%.140s", path, error.where,
                                   error.where[0] != '\0' ? ": " : "", error.what);
}

enum outcome verb_plan(struct tool *tool) {
    struct timetable *timetable = malloc(sizeof *timetable);
    if (timetable == NULL) {
        error_set(&tool->error, "", "no memory left");
        return OUTCOME_UNWRITTEN;
    }
    enum outcome outcome = OUTCOME_CONFIGURATION;
    if (read_and_plan(tool, timetable)) {
        outcome = write_files(tool, timetable);
        if (outcome == OUTCOME_DONE) {
            outcome = report(tool, timetable);
        }
    }
    free(timetable);
    return outcome;
}

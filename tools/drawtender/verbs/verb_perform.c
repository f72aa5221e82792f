/* The verb perform: reads a script, and runs it against the bridge. */
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/session/performance.h"
#include "tools/drawtender/session/rehearsal.h"
#include "tools/drawtender/verbs/verbs.h"

static char *read_text(void *context, const char *path, struct error *error) {
    (void)context;
    return file_text_read(path, error);
}

/* Signals are caught before the first line goes out, so that none is lost. */
static enum outcome run(struct tool *tool, const struct script *script) {
    struct performance performance;
    enum outcome outcome = performance_begin(&performance, tool, script);
    if (outcome == OUTCOME_DONE) {
        performance.interrupt = interrupt_catch();
        outcome = performance_run(&performance);
        interrupt_release();
    }
    return outcome;
}

enum outcome verb_perform(struct tool *tool) {
    struct script script;
    struct error error;
    if (!script_read(&script, tool->options->word[0], read_text, NULL, &error)) {
        error_set(&tool->error, "", "%.110s%s%.130s", error.where, error.where[0] ? ": " : "",
                  error.what);
        return OUTCOME_CONFIGURATION;
    }
    enum outcome outcome = tool->options->is_dry_run ? rehearse(tool, &script) : run(tool, &script);
    script_free(&script);
    return outcome;
}

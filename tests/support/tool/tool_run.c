#include "support/tool/tool_run.h"

#include "support/check.h"
#include "tools/drawtender/run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A slow machine is not a server that does not answer. */
enum { WORDS_MAX = 80, COLUMNS = 40, PATIENT_MS = 3600000 };

static size_t split(char *line, char *words[WORDS_MAX]) {
    size_t count = 0;
    char *rest = NULL;
    for (char *word = strtok_r(line, " ", &rest); word != NULL && count < WORDS_MAX;
         word = strtok_r(NULL, " ", &rest)) {
        words[count++] = word;
    }
    return count;
}

void tool_run_words(struct tool_run *run, const char *arguments) {
    char line[2048];
    assert_true(strlen(arguments) < sizeof line);
    snprintf(line, sizeof line, "%s", arguments);
    char *words[WORDS_MAX];
    struct tool_options options;
    struct error error;
    assert_true(options_parse((int)split(line, words), words, &options, &error));
    if (run->port != 0) {
        options.port = run->port;
    }
    options.reply_ms = run->reply_ms != 0 ? run->reply_ms : PATIENT_MS;
    if (!options.has_limit_option) {
        options.limit_ms = PATIENT_MS;
    }
    size_t out_size;
    size_t err_size;
    struct tool_streams streams = {.out = open_memstream(&run->out, &out_size),
                                   .err = open_memstream(&run->err, &err_size),
                                   .is_terminal = run->is_terminal,
                                   .columns = COLUMNS};
    run->outcome = run_verb(&options, &streams);
    fclose(streams.out);
    fclose(streams.err);
}

void tool_run_free(struct tool_run *run) {
    free(run->out);
    free(run->err);
    run->out = run->err = NULL;
}

struct tool_run tool_run_against(const struct tool_server_step *script, const char *arguments,
                                 uint32_t reply_ms) {
    struct tool_server server;
    tool_server_start(&server, script);
    struct tool_run run = {.port = server.port, .reply_ms = reply_ms};
    tool_run_words(&run, arguments);
    if (!tool_server_finish(&server)) {
        fail_msg("the script was not played to its end; printed: \"%s\" \"%s\"", run.out, run.err);
    }
    return run;
}

void tool_run_says(const char *text, const char *words) {
    if (strstr(text, words) == NULL) {
        fail_msg("\"%s\" is not in \"%s\"", words, text);
    }
}

static void assert_is_harmless(const char *text) {
    for (; *text != '\0'; text++) {
        assert_true(*text == '\n' || (*text >= ' ' && *text <= '~'));
    }
}

void tool_run_ends(struct tool_run run, enum outcome outcome, const char *out, const char *err) {
    if (run.outcome != outcome) {
        fail_msg("ended %d, not %d: \"%s\" \"%s\"", run.outcome, outcome, run.out, run.err);
    }
    tool_run_says(run.out, out);
    tool_run_says(run.err, err);
    if (!run.is_terminal) {
        assert_is_harmless(run.out);
        assert_is_harmless(run.err);
    }
    tool_run_free(&run);
}

/* The reader of session scripts: steps within their limits, or an error with its place. An input is
 * some files, parted by form feeds and called 0, 1, 2 ... in their order, for includes. */
#include "fuzz/fuzz.h"
#include "tools/drawtender/session/script.h"
#include "tools/drawtender/session/script_line.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

struct files {
    const char *text;
};

static char *read_one(void *context, const char *path, struct error *error) {
    const struct files *files = context;
    const char *text = files->text;
    char *end = NULL;
    unsigned long number = strtoul(path, &end, 10);
    bool is_named = end != path && *end == '\0' && path[0] >= '0' && path[0] <= '9';
    while (is_named && number > 0 && text != NULL) {
        text = strchr(text, '\f');
        text = text != NULL ? text + 1 : NULL;
        number--;
    }
    if (!is_named || text == NULL) {
        error_set(error, "", "not there");
        return NULL;
    }
    return strndup(text, strcspn(text, "\f"));
}

static bool begins(const char *text, const char *word) {
    return strncmp(text, word, strlen(word)) == 0;
}

static bool is_printable(const char *text) {
    for (; *text != '\0'; text++) {
        if ((*text < ' ' && *text != '\t') || *text > '~') {
            return false;
        }
    }
    return true;
}

/* A line that goes out is read alike again, and so is what a dry run asks in its place. */
static void check_line(const struct script_step *step) {
    struct script_step again = {0};
    struct script_line parsed;
    struct error error;
    char trial[SCRIPT_LINE_MAX];
    FUZZ_HOLDS(script_line_parse(srcp_text_of(step->text), &again, &parsed, &error));
    FUZZ_HOLDS(again.kind == SCRIPT_LINE && again.bus == step->bus);
    FUZZ_HOLDS(strcmp(parsed.text, step->text) == 0);
    script_line_trial(step->text, trial);
    FUZZ_HOLDS(trial[0] == '\0' || begins(trial, "CHECK ") || begins(trial, "GET"));
    FUZZ_HOLDS(trial[0] == '\0' || script_line_parse(srcp_text_of(trial), &again, &parsed, &error));
    FUZZ_HOLDS(script_line_timeout(step->text) >= 0);
    FUZZ_HOLDS(script_line_clock(step->text) <= SCRIPT_CLOCK_WAIT);
}

static void check_step(const struct script_step *step) {
    FUZZ_HOLDS(step->file != NULL && step->number > 0 && step->text != NULL);
    FUZZ_HOLDS(strlen(step->text) < SCRIPT_LINE_MAX && is_printable(step->text));
    switch (step->kind) {
    case SCRIPT_LINE:
        check_line(step);
        break;
    case SCRIPT_EXPECT:
        FUZZ_HOLDS(begins(step->text, "WAIT ") && step->label != NULL && step->label[0] != '\0');
        FUZZ_HOLDS(step->time_ms <= SCRIPT_WITHIN_MAX_S * UINT32_C(1000));
        check_line(step);
        break;
    case SCRIPT_PAUSE:
    case SCRIPT_SAY:
        break;
    case SCRIPT_ON_FAILURE:
        FUZZ_HOLDS(step->failure <= SCRIPT_GO_ON);
        break;
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = malloc(size + 1);
    memcpy(text, data, size);
    text[size] = '\0';
    struct files files = {text};
    struct script script;
    struct error error = {.where = "", .what = ""};
    if (script_read(&script, "0", read_one, &files, &error)) {
        FUZZ_HOLDS(script.steps <= SCRIPT_STEPS_MAX);
        for (size_t i = 0; i < script.steps; i++) {
            if (!script.step[i].is_again) {
                check_step(&script.step[i]);
            }
        }
        script_free(&script);
    } else {
        FUZZ_HOLDS(error.where[0] != '\0' && error.what[0] != '\0');
    }
    free(text);
    return 0;
}

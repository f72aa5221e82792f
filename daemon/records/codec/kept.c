#include "records/codec/kept.h"

#include "records/codec/core_shapes.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

static const char head[] = "drawtender steps 1";

/* --- writing */

struct lines {
    FILE *out;
    const char *word;
    const void *before, *after;
};

static void write_leaf(void *context, const struct shape_leaf *leaf) {
    const struct lines *lines = context;
    char before[SHAPE_VALUE_SIZE];
    char after[SHAPE_VALUE_SIZE];
    shape_write(leaf, lines->before, before);
    shape_write(leaf, lines->after, after);
    if (strcmp(before, after) != 0) {
        fprintf(lines->out, "%s %s %s\n", lines->word, leaf->path, after);
    }
}

static void write_changes(FILE *out, const char *word, const struct shape *shape,
                          const void *before, const void *after) {
    struct lines lines = {.out = out, .word = word, .before = before, .after = after};
    if (!shape_is_same(shape, before, after)) {
        shape_walk(shape, &lines, write_leaf);
    }
}

void kept_begin(struct kept_writer *writer, const char *about, const struct bridge_setup *setup,
                const struct bridge_state *state) {
    static const struct bridge_setup no_setup;
    static const struct bridge_state no_state;
    if (writer->stretches++ > 0) {
        return;
    }
    fprintf(writer->out, "%s\nabout %s\n", head, about);
    write_changes(writer->out, "setup", &core_setup_shape, &no_setup, setup);
    write_changes(writer->out, "state", &core_state_shape, &no_state, state);
}

void kept_step_write(struct kept_writer *writer, const struct kept_step *step) {
    static const struct bridge_request no_request;
    if (writer->stretches > 1) {
        return;
    }
    fprintf(writer->out, "step %" PRIu32 "\n", step->dt_us);
    write_changes(writer->out, "request", &core_request_shape, &no_request, &step->request);
    if (step->request.kind != REQUEST_NONE) {
        fprintf(writer->out, "answer %d\n", (int)step->answer);
    }
    write_changes(writer->out, "inputs", &core_inputs_shape, &writer->last.inputs, &step->inputs);
    write_changes(writer->out, "outputs", &core_outputs_shape, &writer->last.outputs,
                  &step->outputs);
    writer->last = *step;
}

/* --- reading */

struct kept_reader {
    struct replay_result *result;
    struct error *error;
    unsigned line;
    struct bridge_setup setup;
    struct bridge_state state;
    struct kept_step step;
    bool has_step; /* being put together, not yet run */
};

static bool complain(const struct kept_reader *reader, const char *what) {
    char where[32];
    snprintf(where, sizeof where, "line %u", reader->line);
    return error_set(reader->error, where, "line %u: %s", reader->line, what);
}

/* Whether it is as recorded. */
static bool run_step(struct kept_reader *reader) {
    struct replay_difference *difference = &reader->result->difference;
    if (!reader->has_step) {
        return true;
    }
    reader->has_step = false;
    reader->result->steps++;
    if (!replay_step(&reader->setup, &reader->state, &reader->step, difference->what,
                     sizeof difference->what)) {
        difference->serial = reader->result->steps;
        return false;
    }
    return true;
}

static bool read_whole(const char *text, uint32_t most, uint32_t *value) {
    char *end;
    unsigned long long whole = strtoull(text, &end, 10);
    *value = (uint32_t)whole;
    return text[0] >= '0' && text[0] <= '9' && *end == '\0' && whole <= most;
}

/* "step 10000": the one before is whole now. */
static bool begin_step(struct kept_reader *reader, const char *text) {
    const char *fault =
        reader->result->steps == 0 && !reader->has_step ? bridge_setup_fault(&reader->setup) : NULL;
    if (fault != NULL) {
        return complain(reader, fault);
    }
    run_step(reader);
    memset(&reader->step.request, 0, sizeof reader->step.request);
    reader->step.answer = ANSWER_NONE;
    reader->has_step = true;
    return read_whole(text, UINT32_MAX, &reader->step.dt_us) ||
           complain(reader, "wanted a number of microseconds");
}

static bool read_answer(struct kept_reader *reader, const char *text) {
    uint32_t answer;
    if (!read_whole(text, ANSWER_CAUSE_STANDS, &answer)) {
        return complain(reader, "no such answer");
    }
    reader->step.answer = (enum bridge_answer)answer;
    return true;
}

static bool read_value(struct kept_reader *reader, const char *word, const char *path,
                       const char *value) {
    const struct {
        const char *word;
        const struct shape *shape;
        void *object;
        bool is_of_step;
    } all[] = {{"setup", &core_setup_shape, &reader->setup, false},
               {"state", &core_state_shape, &reader->state, false},
               {"request", &core_request_shape, &reader->step.request, true},
               {"inputs", &core_inputs_shape, &reader->step.inputs, true},
               {"outputs", &core_outputs_shape, &reader->step.outputs, true}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (strcmp(word, all[i].word) == 0) {
            bool is_in_place = all[i].is_of_step == reader->has_step;
            return (is_in_place && shape_read(all[i].shape, all[i].object, path, value)) ||
                   complain(reader, "no such member, no value of it, or not its place");
        }
    }
    return complain(reader, "unknown word");
}

static bool read_line(struct kept_reader *reader, char *line) {
    char *rest = NULL;
    line[strcspn(line, "\n")] = '\0';
    if (reader->line == 1) {
        return strcmp(line, head) == 0 || complain(reader, "not a file of kept steps");
    }
    const char *word = strtok_r(line, " ", &rest);
    const char *first = strtok_r(NULL, " ", &rest);
    const char *second = strtok_r(NULL, " ", &rest);
    if (word == NULL || strcmp(word, "about") == 0) {
        return true;
    }
    if (first == NULL) {
        return complain(reader, "incomplete step");
    }
    if (strcmp(word, "step") == 0) {
        return begin_step(reader, first);
    }
    if (strcmp(word, "answer") == 0) {
        return read_answer(reader, first);
    }
    return second != NULL ? read_value(reader, word, first, second)
                          : complain(reader, "incomplete step");
}

bool kept_run(FILE *in, struct replay_result *result, struct error *error) {
    struct kept_reader reader = {.result = result, .error = error};
    char line[256];
    memset(result, 0, sizeof *result);
    while (result->difference.serial == 0 && fgets(line, sizeof line, in) != NULL) {
        reader.line++;
        if (!read_line(&reader, line)) {
            return false;
        }
    }
    if (result->difference.serial == 0) {
        run_step(&reader);
    }
    return result->steps > 0 || complain(&reader, "not a step");
}

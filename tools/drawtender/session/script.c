#include "tools/drawtender/session/script.h"

#include "tools/drawtender/session/script_line.h"
#include "tools/drawtender/session/script_words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct open_repeat {
    size_t first; /* step */
    unsigned count, number;
};

struct reading {
    struct script *script;
    script_reader *reader;
    void *context;
    unsigned files;
};

/* Where in which file; one for each file that is being read. */
struct place {
    const char *file;
    unsigned number;
    unsigned depth;
    unsigned repeats;
    struct open_repeat repeat[SCRIPT_REPEATS_MAX];
};

static bool read_file(struct reading *reading, const char *path, unsigned depth,
                      struct error *error);

/* Keeps a copy of the text with the script; NULL without memory. */
static const char *keep(struct script *script, const char *text, size_t length) {
    if (script->texts == script->text_room) {
        size_t room = script->text_room > 0 ? 2 * script->text_room : 64;
        char **grown = realloc(script->text, room * sizeof *grown);
        if (grown == NULL) {
            return NULL;
        }
        script->text = grown;
        script->text_room = room;
    }
    char *copy = malloc(length + 1);
    if (copy == NULL) {
        return NULL;
    }
    memcpy(copy, text, length);
    copy[length] = '\0';
    script->text[script->texts++] = copy;
    return copy;
}

static bool add_step(struct script *script, const struct script_step *step, struct error *error) {
    if (script->steps == SCRIPT_STEPS_MAX) {
        return error_set(error, "", "more than %d steps with all repeats expanded",
                         SCRIPT_STEPS_MAX);
    }
    if (script->steps == script->room) {
        size_t room = script->room > 0 ? 2 * script->room : 64;
        struct script_step *grown = realloc(script->step, room * sizeof *grown);
        if (grown == NULL) {
            return error_set(error, "", "out of memory");
        }
        script->step = grown;
        script->room = room;
    }
    script->step[script->steps++] = *step;
    return true;
}

static bool begin_repeat(struct reading *reading, struct place *place, struct srcp_text rest,
                         struct error *error) {
    int32_t count;
    if (!srcp_text_number(rest, &count) || count < 1 || count > SCRIPT_REPEAT_MAX) {
        return error_set(error, "", "wanted: %s, with N from 1 to %d",
                         script_words[SCRIPT_WORD_REPEAT].form, SCRIPT_REPEAT_MAX);
    }
    if (place->repeats == SCRIPT_REPEATS_MAX) {
        return error_set(error, "", "repeats nested more than %d deep", SCRIPT_REPEATS_MAX);
    }
    place->repeat[place->repeats++] = (struct open_repeat){
        .first = reading->script->steps, .count = (unsigned)count, .number = place->number};
    return true;
}

static bool end_repeat(struct reading *reading, struct place *place, struct srcp_text rest,
                       struct error *error) {
    if (rest.length > 0 || place->repeats == 0) {
        return error_set(error, "", "%s",
                         rest.length > 0 ? "nothing may follow 'end' on its line"
                                         : "end without a repeat");
    }
    const struct open_repeat *repeat = &place->repeat[--place->repeats];
    size_t last = reading->script->steps;
    for (unsigned i = 1; i < repeat->count; i++) {
        for (size_t j = repeat->first; j < last; j++) {
            struct script_step step = reading->script->step[j];
            step.is_again = true;
            if (!add_step(reading->script, &step, error)) {
                return false;
            }
        }
    }
    return true;
}

/* Files are found beside the one that names them. */
static bool include(struct reading *reading, struct place *place, struct srcp_text name,
                    struct error *error) {
    if (name.length == 0) {
        return error_set(error, "", "wanted: %s", script_words[SCRIPT_WORD_INCLUDE].form);
    }
    if (place->depth + 1 > SCRIPT_INCLUDES_MAX) {
        return error_set(error, "", "includes nested more than %d deep", SCRIPT_INCLUDES_MAX);
    }
    const char *slash = strrchr(place->file, '/');
    int folder = name.at[0] != '/' && slash != NULL ? (int)(slash - place->file) + 1 : 0;
    char path[2 * SCRIPT_LINE_MAX];
    int length =
        snprintf(path, sizeof path, "%.*s%.*s", folder, place->file, (int)name.length, name.at);
    if (length < 0 || (size_t)length >= sizeof path) {
        return error_set(error, "", "the file's name is too long");
    }
    return read_file(reading, path, place->depth + 1, error);
}

static bool take_step(struct reading *reading, const struct place *place, struct srcp_text line,
                      struct error *error) {
    struct script_step step = {.file = place->file, .number = place->number};
    struct script_line parsed;
    if (!script_line_parse(line, &step, &parsed, error)) {
        return false;
    }
    step.text = keep(reading->script, parsed.text, strlen(parsed.text));
    step.label = keep(reading->script, parsed.label.at, parsed.label.length);
    if (step.text == NULL || step.label == NULL) {
        return error_set(error, "", "out of memory");
    }
    return add_step(reading->script, &step, error);
}

static bool take_line(struct reading *reading, struct place *place, struct srcp_text line,
                      struct error *error) {
    struct srcp_text rest = line;
    struct srcp_text word = srcp_text_word(&rest);
    if (word.length == 0 || word.at[0] == '#') {
        return true;
    }
    if (srcp_text_is(word, "include")) {
        return include(reading, place, rest, error);
    }
    if (srcp_text_is(word, "repeat")) {
        return begin_repeat(reading, place, rest, error);
    }
    if (srcp_text_is(word, "end")) {
        return end_repeat(reading, place, rest, error);
    }
    return take_step(reading, place, line, error);
}

static bool cut_line(const char **next, struct srcp_text *line, struct error *error) {
    size_t length = strcspn(*next, "\n");
    *line = (struct srcp_text){.at = *next, .length = length};
    *next += length + ((*next)[length] == '\n');
    if (length > 0 && line->at[length - 1] == '\r') {
        line->length--;
    }
    *line = srcp_text_trim(*line);
    if (length > SCRIPT_LINE_MAX - 1) {
        return error_set(error, "", "longer than %d characters", SCRIPT_LINE_MAX - 1);
    }
    bool is_comment = line->length > 0 && line->at[0] == '#';
    for (size_t i = 0; i < line->length && !is_comment; i++) {
        if ((line->at[i] < ' ' && line->at[i] != '\t') || line->at[i] > '~') {
            return error_set(error, "", "contains bytes other than printable ASCII");
        }
    }
    return true;
}

static bool take_lines(struct reading *reading, struct place *place, const char *text,
                       struct error *error) {
    struct error inner = {{0}, {0}};
    while (*text != '\0') {
        struct srcp_text line;
        place->number++;
        if (!cut_line(&text, &line, &inner) || !take_line(reading, place, line, &inner)) {
            break;
        }
        if (*text == '\0' && place->repeats > 0) {
            place->number = place->repeat[place->repeats - 1].number;
            error_set(&inner, "", "repeat without an end");
        }
    }
    if (inner.what[0] == '\0') {
        return true;
    }
    /* From an included file the place is there already. */
    char where[sizeof inner.where];
    snprintf(where, sizeof where, "%.110s:%u", place->file, place->number);
    return error_set(error, inner.where[0] != '\0' ? inner.where : where, "%s", inner.what);
}

static bool read_file(struct reading *reading, const char *path, unsigned depth,
                      struct error *error) {
    if (++reading->files > SCRIPT_FILES_MAX) {
        return error_set(error, "", "more than %d files", SCRIPT_FILES_MAX);
    }
    struct error inner;
    char *text = reading->reader(reading->context, path, &inner);
    if (text == NULL) {
        return error_set(error, "", "cannot read '%.100s': %.100s", path, inner.what);
    }
    /* What editors may put before UTF-8 (RFC 3629, section 6). */
    static const char mark[] = "\xef\xbb\xbf";
    const char *lines = strncmp(text, mark, strlen(mark)) == 0 ? text + strlen(mark) : text;
    struct place place = {.file = keep(reading->script, path, strlen(path)), .depth = depth};
    bool is_good = place.file != NULL ? take_lines(reading, &place, lines, error)
                                      : error_set(error, "", "out of memory");
    free(text);
    return is_good;
}

bool script_read(struct script *script, const char *path, script_reader *reader, void *context,
                 struct error *error) {
    *script = (struct script){0};
    struct reading reading = {.script = script, .reader = reader, .context = context};
    if (!read_file(&reading, path, 0, error)) {
        script_free(script);
        return false;
    }
    return true;
}

void script_free(struct script *script) {
    for (size_t i = 0; i < script->texts; i++) {
        free(script->text[i]);
    }
    free(script->text);
    free(script->step);
    *script = (struct script){0};
}

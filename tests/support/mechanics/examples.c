#include "support/mechanics/examples.h"

#include "support/check.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { BLOCKS_MAX = 16, VALUES_MAX = 40, NUMBERS_MAX = 40, NAME_SIZE = 48, LINE_SIZE = 1024 };

struct value {
    char name[NAME_SIZE];
    char unit[NAME_SIZE];
    char text[NAME_SIZE]; /* where it is no number */
    double number[NUMBERS_MAX];
    size_t count;
    bool is_used;
};

struct values {
    struct value value[VALUES_MAX];
    size_t count;
};

struct example {
    char id[NAME_SIZE];
    double tolerance;
    bool is_absolute;
    bool has_source;
    struct values in;
    struct values out;
    unsigned failures;
};

struct file {
    char path[512];
    unsigned line;
    struct example block[BLOCKS_MAX];
    size_t blocks;
};

#define PI 3.14159265358979323846
static const struct {
    const char *name;
    double si;
} units[] = {
    {"", 1},
    {"m", 1},
    {"mm", 1e-3},
    {"in", 0.0254},
    {"1/in", 1 / 0.0254},
    {"deg", PI / 180},
    {"rev", 2 * PI},
    {"rev/deg", 360},
    {"rpm", PI / 30},
    {"deg/s", PI / 180},
    {"deg/s2", PI / 180},
    {"deg/s3", PI / 180},
    {"rad/s", 1},
    {"rad/s2", 1},
    {"m/s", 1},
    {"mm/s", 1e-3},
    {"m/s2", 1},
    {"m/rad", 1},
    {"s", 1},
    {"kg", 1},
    {"kg.m", 1},
    {"kg.m2", 1},
    {"kg m m", 1},
    {"kg m m m m", 1},
    {"N", 1},
    {"N.m", 1},
    {"N/m", 1},
    {"V", 1},
    {"A", 1},
    {"ohm", 1},
    {"W", 1},
    {"V.s/rad", 1},
    {"N.m/A", 1},
    {"rpm/V", PI / 30},
    {"%", 0.01},
    {"degC", 1},
    {"K/W", 1},
    {"Pa", 1},
};

static double unit_si(const char *unit) {
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strcmp(units[i].name, unit) == 0) {
            return units[i].si;
        }
    }
    fail_msg("unknown unit [%s]", unit);
    return NAN;
}

static void complain(const struct file *file, const char *what) {
    fail_msg("%s:%u: %s", file->path, file->line, what);
}

static void copy_text(const struct file *file, char *to, const char *from, size_t length) {
    if (length >= NAME_SIZE) {
        complain(file, "a word is too long");
    }
    memcpy(to, from, length);
    to[length] = '\0';
}

static void read_numbers(const struct file *file, struct value *value, char *text) {
    char *rest = NULL;
    for (char *word = strtok_r(text, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char *end;
        double number = strtod(word, &end);
        if (*end != '\0' && value->count == 0) {
            copy_text(file, value->text, word, strlen(word));
            return;
        }
        if (*end != '\0' || !isfinite(number) || value->count == NUMBERS_MAX) {
            complain(file, "a list of numbers is malformed");
        }
        value->number[value->count++] = number;
    }
    if (value->count == 0) {
        complain(file, "a value is missing");
    }
}

/* name=value[ value...][ [unit]] */
static void read_value(const struct file *file, struct values *values, char *text) {
    char *equals = strchr(text, '=');
    if (!equals || values->count == VALUES_MAX) {
        complain(file, "wanted name=value, and not too many");
        return;
    }
    struct value *value = &values->value[values->count++];
    copy_text(file, value->name, text, (size_t)(equals - text));
    char *unit = strchr(equals, '[');
    if (unit) {
        char *close = strchr(unit, ']');
        if (!close || close[1] != '\0') {
            complain(file, "a unit is not closed by ]");
            return;
        }
        copy_text(file, value->unit, unit + 1, (size_t)(close - unit - 1));
        *unit = '\0';
    }
    (void)unit_si(value->unit);
    read_numbers(file, value, equals + 1);
}

static void read_values(const struct file *file, struct values *values, char *text) {
    for (char *next; text; text = next) {
        next = strstr(text, "; ");
        if (next) {
            *next = '\0';
            next += 2;
        }
        read_value(file, values, text);
    }
}

/* "```ex G1 rel=1e-8" */
static void open_block(struct file *file, const char *line) {
    if (file->blocks == BLOCKS_MAX) {
        complain(file, "too many blocks");
    }
    struct example *block = &file->block[file->blocks++];
    char kind[4], tolerance[NAME_SIZE], *end;
    if (sscanf(line, "```ex %15s %3[a-z]=%47s", block->id, kind, tolerance) != 3) {
        complain(file, "wanted ```ex ID rel=TOL or abs=TOL");
    }
    block->is_absolute = strcmp(kind, "abs") == 0;
    if (!block->is_absolute && strcmp(kind, "rel") != 0) {
        complain(file, "a tolerance is rel or abs");
    }
    block->tolerance = strtod(tolerance, &end);
    if (*end != '\0' || !(block->tolerance > 0.0 && block->tolerance < 1e-3)) {
        complain(file, "a tolerance is a small number");
    }
}

static bool begins(const char *line, const char *with) {
    return strncmp(line, with, strlen(with)) == 0;
}

static void read_block_line(struct file *file, char *line, bool *is_open) {
    struct example *block = &file->block[file->blocks - 1];
    if (begins(line, "src: ")) {
        block->has_source = true;
    } else if (begins(line, "in: ")) {
        read_values(file, &block->in, line + 4);
    } else if (begins(line, "out: ")) {
        read_values(file, &block->out, line + 5);
    } else if (strcmp(line, "```") == 0) {
        *is_open = false;
        if (!block->has_source || block->in.count == 0 || block->out.count == 0) {
            complain(file, "a block needs src, in and out");
        }
    } else {
        complain(file, "a block holds src, in and out only");
    }
}

static void read_line(struct file *file, char *line, bool *is_open) {
    file->line++;
    char *newline = strchr(line, '\n');
    if (!newline) {
        complain(file, "a line is too long or not ended");
        return;
    }
    *newline = '\0';
    if (*is_open) {
        read_block_line(file, line, is_open);
    } else if (begins(line, "```ex ")) {
        open_block(file, line);
        *is_open = true;
    } else if (line[0] != '\0' && line[0] != '#') {
        complain(file, "between blocks there are remarks (#) only");
    }
}

static void load(struct file *file, const char *name) {
    memset(file, 0, sizeof *file);
    snprintf(file->path, sizeof file->path, SOURCE_DIR "/tests/mechanics/examples/%s.ex", name);
    if (access(file->path, R_OK) != 0) {
        snprintf(file->path, sizeof file->path,
                 SOURCE_DIR "/tests/mechanics/examples/findings/%s.ex", name);
    }
    FILE *stream = fopen(file->path, "r");
    if (!stream) {
        complain(file, "cannot be read");
        return;
    }
    char line[LINE_SIZE];
    bool is_open = false;
    while (fgets(line, sizeof line, stream)) {
        read_line(file, line, &is_open);
    }
    fclose(stream);
    if (is_open) {
        complain(file, "the last block is not closed");
    }
}

static struct value *find(struct example *example, struct values *values, const char *name) {
    for (size_t i = 0; i < values->count; i++) {
        if (strcmp(values->value[i].name, name) == 0) {
            values->value[i].is_used = true;
            return &values->value[i];
        }
    }
    fail_msg("%s has no %s", example->id, name);
    return NULL;
}

size_t example_in_list(struct example *example, const char *name, double *numbers, size_t max) {
    const struct value *value = find(example, &example->in, name);
    if (value->count > max || value->count == 0) {
        fail_msg("%s: %s has %zu numbers", example->id, name, value->count);
    }
    double si = unit_si(value->unit);
    for (size_t i = 0; i < value->count; i++) {
        numbers[i] = value->number[i] * si;
    }
    return value->count;
}

double example_in(struct example *example, const char *name) {
    double number;
    example_in_list(example, name, &number, 1);
    return number;
}

void example_in_text(struct example *example, const char *name, const char *expected) {
    assert_string_equal(find(example, &example->in, name)->text, expected);
}

static void hold(struct example *example, const struct value *value, size_t i, double result) {
    double expected = value->number[i], found = result / unit_si(value->unit);
    double allowed = example->tolerance;
    if (!example->is_absolute && expected != 0.0) {
        allowed *= fabs(expected);
    }
    if (!(fabs(found - expected) <= allowed)) {
        print_error("%s: %s[%zu] is %.12g %s, expected %.12g\n", example->id, value->name, i, found,
                    value->unit, expected);
        example->failures++;
    }
}

void example_out_list(struct example *example, const char *name, const double *results,
                      size_t count) {
    const struct value *value = find(example, &example->out, name);
    if (value->count != count) {
        fail_msg("%s: %s has %zu values, the test %zu", example->id, name, value->count, count);
    }
    for (size_t i = 0; i < count; i++) {
        hold(example, value, i, results[i]);
    }
}

void example_out(struct example *example, const char *name, double result) {
    example_out_list(example, name, &result, 1);
}

static void count_unused(struct example *example, const struct values *values) {
    for (size_t i = 0; i < values->count; i++) {
        if (!values->value[i].is_used) {
            print_error("%s: %s was not used\n", example->id, values->value[i].name);
            example->failures++;
        }
    }
}

static const struct example_test *test_of(const struct example_test *tests, size_t count,
                                          const char *id) {
    const struct example_test *found = NULL;
    for (size_t i = 0; i < count; i++) {
        if (strcmp(tests[i].id, id) == 0) {
            found = &tests[i];
        }
    }
    return found;
}

void examples_run(const char *name, const struct example_test *tests, size_t count) {
    static struct file file;
    unsigned failures = 0;
    load(&file, name);
    for (size_t i = 0; i < file.blocks; i++) {
        struct example *example = &file.block[i];
        const struct example_test *test = test_of(tests, count, example->id);
        if (!test) {
            fail_msg("%s has no test", example->id);
        }
        test->run(example);
        count_unused(example, &example->in);
        count_unused(example, &example->out);
        failures += example->failures;
    }
    /* Every block has a test; with as many tests, and no test twice, every test has its block. */
    assert_int_equal(file.blocks, count);
    assert_int_equal(failures, 0);
}

struct example *examples_borrow(const char *name, const char *id) {
    static struct file file;
    load(&file, name);
    for (size_t i = 0; i < file.blocks; i++) {
        if (strcmp(file.block[i].id, id) == 0) {
            return &file.block[i];
        }
    }
    fail_msg("%s has no block %s", name, id);
    return NULL;
}

size_t examples_count(const char *name) {
    static struct file file;
    load(&file, name);
    return file.blocks;
}

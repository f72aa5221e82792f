/* What the guided set-up does with what it found: shown first, written only after a yes. */
#include "support/check.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/commission/commission.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct bench {
    struct commission commission;
    struct tool tool;
    struct tool_options options;
    char file[64];
    char *out;
    size_t size;
};

/* Answers, one a line; then the input ends. */
static struct bench *begin(const char *answers) {
    struct bench *bench = calloc(1, sizeof *bench);
    struct commission *commission = &bench->commission;
    struct error error;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], answers, strlen(answers)), strlen(answers));
    close(ends[1]);
    snprintf(bench->file, sizeof bench->file, "/tmp/drawtender-write-%d.json", (int)getpid());
    commission->text = file_text_read(SOURCE_DIR "/config/kettle-narrows.json", &error);
    commission->file = bench->file;
    commission->tool = &bench->tool;
    commission->found = (struct commission_values){0.1, 0, 75, 50, 60, 1.6};
    assert_true(config_read_text(commission->text, strlen(commission->text), &commission->config,
                                 &commission->report));
    assert_true(file_text_replace(bench->file, commission->text, &error));
    bench->tool.options = &bench->options;
    bench->tool.streams.out = open_memstream(&bench->out, &bench->size);
    bench->tool.link.info.socket = bench->tool.link.command.socket = -1;
    person_begin(&commission->person, ends[0], bench->tool.streams.out, -1, &bench->tool.link);
    return bench;
}

/* Writes; whether the file has changed. */
static enum outcome finish(struct bench *bench, bool *has_changed) {
    enum outcome outcome = commission_write(&bench->commission);
    struct error error;
    char *text = file_text_read(bench->file, &error);
    *has_changed = strcmp(text, bench->commission.text) != 0;
    fflush(bench->tool.streams.out);
    free(text);
    return outcome;
}

static void end(struct bench *bench) {
    fclose(bench->tool.streams.out);
    close(bench->commission.person.in);
    unlink(bench->file);
    free(bench->commission.text);
    free(bench->out);
    free(bench);
}

static void only_a_yes_writes(void **state) {
    (void)state;
    static const struct {
        const char *answers;
        enum outcome outcome;
        bool has_changed;
    } cases[] = {
        {"yes\n", OUTCOME_DONE, true},   {"maybe\ny\n", OUTCOME_DONE, true},
        {"no\n", OUTCOME_DONE, false},   {"n\n", OUTCOME_DONE, false},
        {"q\n", OUTCOME_REFUSED, false}, {"", OUTCOME_REFUSED, false},
        {"yes", OUTCOME_REFUSED, false}, {"YES\n", OUTCOME_REFUSED, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bench *bench = begin(cases[i].answers);
        bool has_changed;
        assert_int_equal(finish(bench, &has_changed), cases[i].outcome);
        assert_int_equal(has_changed, cases[i].has_changed);
        const char *shown = strstr(bench->out, "\"travel limit\": \"90.0 s\""); /* 1.5 x 60 s */
        assert_true(shown != NULL && shown < strstr(bench->out, "Write it?"));
        assert_non_null(strstr(bench->out, "\"stall current\": \"2.40 A\""));   /* 1.5 x 1.6 A */
        assert_non_null(strstr(bench->out, "\"starting effort\": \"11.0 %\"")); /* and a tenth */
        assert_null(strstr(bench->out, "\"travel\":"));
        end(bench);
    }
}

static void what_was_not_measured_is_left_alone(void **state) {
    (void)state;
    struct bench *bench = begin("yes\n");
    bool has_changed;
    bench->commission.found = (struct commission_values){(double)NAN, (double)NAN, (double)NAN,
                                                         (double)NAN, (double)NAN, (double)NAN};
    assert_int_equal(finish(bench, &has_changed), OUTCOME_DONE);
    assert_false(has_changed);
    assert_non_null(strstr(bench->out, "nothing to change"));
    end(bench);
}

static void another_travel_is_written_where_it_was_taught(void **state) {
    (void)state;
    struct bench *bench = begin("yes\n");
    bool has_changed;
    bench->commission.found.open = 72;
    assert_int_equal(finish(bench, &has_changed), OUTCOME_DONE);
    assert_true(has_changed);
    assert_non_null(strstr(bench->out, "\"travel\": \"72.0 deg\""));
    end(bench);
}

static void values_that_would_not_work_are_not_offered(void **state) {
    (void)state;
    struct bench *bench = begin("yes\n");
    bool has_changed;
    bench->commission.found.most_a = 0.1; /* a stall current below what the motor needs */
    assert_int_equal(finish(bench, &has_changed), OUTCOME_CONFIGURATION);
    assert_false(has_changed);
    assert_non_null(strstr(bench->tool.error.what, "would make the configuration invalid"));
    assert_null(strstr(bench->out, "Write it?"));
    end(bench);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_a_yes_writes),
        cmocka_unit_test(what_was_not_measured_is_left_alone),
        cmocka_unit_test(another_travel_is_written_where_it_was_taught),
        cmocka_unit_test(values_that_would_not_work_are_not_offered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

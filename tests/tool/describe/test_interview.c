/* The questions as they are asked: what a person types, and what comes of it. */
#include "support/check.h"
#include "tools/drawtender/describe/interview.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char kept[] = BINARY_DIR "/interview.answers";

struct talk {
    struct interview *interview;
    char *out;
    size_t size;
    bool is_done; /* all was asked */
};

/* Types these lines at the questions that have no answer yet. */
static struct talk type(const char *lines) {
    struct talk talk = {.interview = calloc(1, sizeof *talk.interview)};
    struct interview *interview = talk.interview;
    assert_non_null(interview);
    assert_true(access(kept, F_OK) != 0 || answers_read(kept, &interview->answers, NULL));
    interview->in = fmemopen((char *)lines, strlen(lines), "r");
    interview->out = open_memstream(&talk.out, &talk.size);
    interview->kept = answers_open(kept, NULL);
    talk.is_done = interview_all(interview);
    fclose(interview->in);
    fclose(interview->out);
    fclose(interview->kept);
    return talk;
}

static void says(const struct talk *talk, const char *words) {
    if (strstr(talk->out, words) == NULL) {
        fail_msg("no \"%s\" in \"%s\"", words, talk->out);
    }
}

static void has(const struct talk *talk, enum question_id id, const char *value) {
    const char *found = answers_value(&talk->interview->answers, id);
    assert_non_null(found);
    assert_string_equal(found, value);
}

static void end(struct talk *talk) {
    free(talk->out);
    free(talk->interview);
}

static int begin(void **state) {
    (void)state;
    unlink(kept);
    return 0;
}

static void a_wrong_unit_is_asked_again(void **state) {
    (void)state;
    struct talk talk = type("\nsector\n70\n70 kg\n70 deg\n");
    says(&talk, "\"70\" has no unit: an angle is wanted, such as \"75 deg\"");
    says(&talk, "\"70 kg\" is a mass");
    has(&talk, Q_NAME, "My Bridge");
    has(&talk, Q_TRAVEL, "70 deg");
    assert_false(talk.is_done); /* the input ended */
    end(&talk);
}

static void all_kinds_are_drawn_and_a_beginning_is_enough(void **state) {
    (void)state;
    struct talk talk = type("\nsec\n");
    says(&talk, "vertical: ropes lift the span level");
    says(&talk, "swing: the span turns about an upright post");
    has(&talk, Q_KIND, "sector");
    end(&talk);
}

/* "s" may be three kinds. */
static void a_beginning_of_several_words_is_none(void **state) {
    (void)state;
    struct talk talk = type("\ns\nswing\n");
    says(&talk, "'s' is not one of");
    has(&talk, Q_KIND, "swing");
    end(&talk);
}

static void back_goes_to_the_question_before(void **state) {
    (void)state;
    struct talk talk = type("<\n\nsector\n70 deg\n<\n<\nstrut\n75 deg\n");
    says(&talk, "This is the first question");
    has(&talk, Q_KIND, "strut");
    has(&talk, Q_TRAVEL, "75 deg");
    end(&talk);
}

static void who_does_not_know_is_told_how_to_measure(void **state) {
    (void)state;
    struct talk talk = type("\nsector\n?\n?\n70 deg\n");
    says(&talk, "a phone with a level");
    says(&talk, "This cannot be guessed");
    says(&talk, "it must be measured");
    has(&talk, Q_TRAVEL, "70 deg");
    end(&talk);
}

static void what_may_be_guessed_is_marked(void **state) {
    (void)state;
    struct talk talk = type("\nsector\n70 deg\n2 ft\n5 in\n\n6 in\n3 lb\n?\n?\nnone\n?\n?\n");
    says(&talk, "Until you know, \"half\" is used, and marked as a guess.");
    assert_true(answers_is_assumed(&talk.interview->answers, Q_TIP_READING));
    has(&talk, Q_TIP_READING, "half");
    /* Nothing is guessed for the pull: another question takes its place. */
    has(&talk, Q_PULL_UP, "?");
    assert_true(answers_ask(&talk.interview->answers, Q_SHAFT));
    assert_false(answers_ask(&talk.interview->answers, Q_PULL_DOWN));
    says(&talk, "How thick is the shaft");
    end(&talk);
}

/* The limits are those of the configuration's reader. */
static void what_is_out_of_range_is_told_at_once(void **state) {
    (void)state;
    struct talk talk = type("\nsector\n70 deg\n2 ft\n5 in\n\n50 m\n6 in\n");
    says(&talk, "\"50 m\" is out of range: wanted at least 5 mm and at most 5 m");
    has(&talk, Q_SECTOR_RADIUS, "6 in");
    end(&talk);
    unlink(kept);
    talk = type("\nsector\n70 deg\n2 ft\n5 in\n\n50 m\n50 m\n");
    has(&talk, Q_SECTOR_RADIUS, "50 m"); /* said twice */
    end(&talk);
}

static void who_stops_goes_on_where_the_questions_were_left(void **state) {
    (void)state;
    struct talk talk = type("Sluice\nsector\n70 deg\n<\n72 deg\nq\n");
    assert_false(talk.is_done);
    end(&talk);
    talk = type("2 ft\nq\n");
    assert_null(strstr(talk.out, "How is the span moved?"));
    has(&talk, Q_NAME, "Sluice");
    has(&talk, Q_TRAVEL, "72 deg");
    has(&talk, Q_LENGTH, "2 ft");
    end(&talk);
}

/* An answer that was taken back is asked for again. */
static void what_was_taken_back_is_not_kept(void **state) {
    (void)state;
    struct talk talk = type("Sluice\nsector\n70 deg\n<\nq\n");
    end(&talk);
    talk = type("71 deg\nq\n");
    says(&talk, "Through what angle");
    has(&talk, Q_TRAVEL, "71 deg");
    end(&talk);
}

/* A motor turns in rpm, not in the degrees a second of a span. */
static void examples_are_of_such_a_thing(void **state) {
    (void)state;
    struct talk talk = type("\nvertical\n45 cm\n60 mm\n1\n2 kg\nnone\n?\n?\n?\n");
    says(&talk, "(a ratio, such as 320:1; ?");
    end(&talk);
    assert_string_equal(questions[Q_RUN_SPEED].example, "16500 rpm");
}

static void another_kind_asks_other_questions(void **state) {
    (void)state;
    struct talk talk = type("\nvertical\n45 cm\n60 mm\nq\n");
    assert_false(answers_ask(&talk.interview->answers, Q_TRAVEL));
    assert_false(answers_ask(&talk.interview->answers, Q_LENGTH));
    assert_true(answers_ask(&talk.interview->answers, Q_PARTS));
    says(&talk, "How far does it rise");
    end(&talk);
}

static void what_an_open_question_decides_is_not_asked_yet(void **state) {
    (void)state;
    struct answers *answers = calloc(1, sizeof *answers);
    assert_false(answers_ask(answers, Q_TRAVEL));
    assert_null(answers_value(answers, Q_TRAVEL));
    answers_set(answers, Q_KIND, "sector");
    assert_true(answers_ask(answers, Q_TRAVEL));
    /* Nor does an answer to what is not to be asked count. */
    answers_set(answers, Q_RISE, "45 cm");
    assert_null(answers_value(answers, Q_RISE));
    free(answers);
}

/* Changing an answer: Enter and < leave it, whatever the usual one is. */
static void a_change_offers_the_present_answer(void **state) {
    (void)state;
    static const struct {
        const char *lines, *value;
        enum interview_end end;
    } cases[] = {{"\n", "60 s", INTERVIEW_ANSWERED},
                 {"<\n", "60 s", INTERVIEW_BACK},
                 {"70\n<\n", "60 s", INTERVIEW_BACK},
                 {"70 s\n", "70 s", INTERVIEW_ANSWERED}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct talk talk = {.interview = calloc(1, sizeof *talk.interview)};
        struct interview *interview = talk.interview;
        answers_set(&interview->answers, Q_KIND, "sector");
        answers_set(&interview->answers, Q_OPENING_TIME, "60 s");
        interview->in = fmemopen((char *)cases[i].lines, strlen(cases[i].lines), "r");
        interview->out = open_memstream(&talk.out, &talk.size);
        assert_int_equal(interview_ask(interview, Q_OPENING_TIME), cases[i].end);
        fclose(interview->in);
        fclose(interview->out);
        says(&talk, "now: 60 s; Enter keeps it");
        assert_null(strstr(talk.out, "Enter: 40 s"));
        has(&talk, Q_OPENING_TIME, cases[i].value);
        end(&talk);
    }
}

/* ---- the table itself */

static void names_are_unique_and_can_stand_in_a_file(void **state) {
    (void)state;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        assert_non_null(questions[i].name);
        assert_null(strpbrk(questions[i].name, ":-#?"));
        assert_int_equal(question_find(questions[i].name), i);
        assert_non_null(questions[i].ask);
    }
    assert_int_equal(question_find("nothing"), QUESTIONS);
}

static void each_question_depends_on_earlier_ones(void **state) {
    (void)state;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        for (unsigned c = 0; c < QUESTION_CONDITIONS; c++) {
            if (questions[i].only_if[c].answers != NULL) {
                assert_true(questions[i].only_if[c].id < i);
            }
        }
    }
}

/* "?" of a question that leads must open another one, or the number is lost: friction alone is
 * then reckoned from what is known anyway. */
static void what_leads_leads_somewhere(void **state) {
    (void)state;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        bool leads = !questions[i].leads || i == Q_LIFT_UP || i == Q_PUSH;
        for (unsigned j = i + 1; j < QUESTIONS && !leads; j++) {
            for (unsigned c = 0; c < QUESTION_CONDITIONS; c++) {
                const char *answers = questions[j].only_if[c].answers;
                leads = leads || (answers != NULL && questions[j].only_if[c].id == i &&
                                  strcmp(answers, "?") == 0);
            }
        }
        if (!leads) {
            fail_msg("nothing measures what '%s' leads to", questions[i].name);
        }
    }
}

/* A sensor that may be there is not relied on. */
static void what_is_not_known_to_be_there_is_not_there(void **state) {
    (void)state;
    unsigned seen = 0;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        bool is_sensor = questions[i].words != NULL && strcmp(questions[i].words, "yes no") == 0;
        if (is_sensor && questions[i].assumed != NULL) {
            assert_string_equal(questions[i].assumed, "no");
            seen++;
        }
    }
    assert_true(seen > 10);
}

static void usual_and_assumed_answers_are_answers(void **state) {
    (void)state;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        const char *const texts[] = {questions[i].usual, questions[i].assumed,
                                     questions[i].example};
        for (size_t t = 0; t < 3; t++) {
            if (texts[t] != NULL && !answers_check((enum question_id)i, texts[t], NULL)) {
                fail_msg("'%s' does not take its own '%s'", questions[i].name, texts[t]);
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_wrong_unit_is_asked_again, begin),
        cmocka_unit_test_setup(all_kinds_are_drawn_and_a_beginning_is_enough, begin),
        cmocka_unit_test_setup(a_beginning_of_several_words_is_none, begin),
        cmocka_unit_test_setup(back_goes_to_the_question_before, begin),
        cmocka_unit_test_setup(who_does_not_know_is_told_how_to_measure, begin),
        cmocka_unit_test_setup(what_may_be_guessed_is_marked, begin),
        cmocka_unit_test_setup(what_is_out_of_range_is_told_at_once, begin),
        cmocka_unit_test_setup(who_stops_goes_on_where_the_questions_were_left, begin),
        cmocka_unit_test_setup(what_was_taken_back_is_not_kept, begin),
        cmocka_unit_test_setup(examples_are_of_such_a_thing, begin),
        cmocka_unit_test_setup(another_kind_asks_other_questions, begin),
        cmocka_unit_test(a_change_offers_the_present_answer),
        cmocka_unit_test(what_an_open_question_decides_is_not_asked_yet),
        cmocka_unit_test(names_are_unique_and_can_stand_in_a_file),
        cmocka_unit_test(each_question_depends_on_earlier_ones),
        cmocka_unit_test(what_leads_leads_somewhere),
        cmocka_unit_test(what_is_not_known_to_be_there_is_not_there),
        cmocka_unit_test(usual_and_assumed_answers_are_answers),
    };
    return cmocka_run_group_tests(tests, begin, begin);
}

#include "protocol/client.h"
#include "protocol/reply.h"
#include "support/check.h"
#include "support/net/protocol_text.h"

#include <string.h>

static void answers_fall_into_their_parts(void **state) {
    (void)state;
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of("1000000000.123 100 INFO 1 GA 11 1 0"), &answer));
    assert_int_equal(answer.time_us, 1000000000123000);
    protocol_assert_text(answer.time, "1000000000.123", "time");
    assert_int_equal(answer.code, 100);
    assert_int_equal(answer.kind, SRCP_ANSWER_INFO);
    protocol_assert_text(answer.words, "1 GA 11 1 0", "words");
    assert_true(answer.has_group);
    assert_int_equal(answer.bus, 1);
    assert_int_equal(answer.group, SRCP_GA);
    protocol_assert_text(answer.rest, "11 1 0", "rest");

    assert_true(srcp_answer_parse(srcp_text_of(" 1.5  412\tERROR wrong value "), &answer));
    assert_int_equal(answer.time_us, 1500000);
    assert_int_equal(answer.code, 412);
    assert_int_equal(answer.kind, SRCP_ANSWER_ERROR);
    protocol_assert_text(answer.words, "wrong value", "words");
    assert_false(answer.has_group);

    assert_true(srcp_answer_parse(srcp_text_of("0.000 200 OK"), &answer));
    assert_int_equal(answer.kind, SRCP_ANSWER_OK);
    protocol_assert_text(answer.words, "", "words");
}

static void groups_are_read_only_where_they_stand(void **state) {
    (void)state;
    static const struct {
        const char *line;
        bool has_group;
    } cases[] = {
        {"1.0 102 INFO 0 TIME", true},   {"1.0 100 INFO 0", false},
        {"1.0 100 INFO", false},         {"1.0 100 INFO x GA 1", false},
        {"1.0 100 INFO -1 GA 1", false}, {"1.0 100 INFO 1 NEW 1", false},
        {"1.0 200 OK 1 GA", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct srcp_answer answer;
        assert_true(srcp_answer_parse(srcp_text_of(cases[i].line), &answer));
        if (answer.has_group != cases[i].has_group) {
            fail_msg("%s", cases[i].line);
        }
    }
}

static void other_lines_are_no_answers(void **state) {
    (void)state;
    static const char *const lines[] = {
        "",
        "drawtender 0.1.0; SRCP 0.8.4; SRCPOTHER 0.8.3",
        "200 OK",
        "1.0",
        "1.0 200",
        "1.0 OK",
        "1.0 200 GOOD",
        "1.0 200 ok",
        "1 200 OK",
        "1. 200 OK",
        ".1 200 OK",
        "1.2.3 200 OK",
        "1.x 200 OK",
        "-1.0 200 OK",
        "1.0 99 OK",
        "1.0 600 OK",
        "1.0 2x0 OK",
        "10000000000000.0 200 OK",
        "99999999999999999999999.0 200 OK",
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        const struct srcp_answer untouched = {.code = 4711};
        struct srcp_answer answer = untouched;
        if (srcp_answer_parse(srcp_text_of(lines[i]), &answer)) {
            fail_msg("\"%s\"", lines[i]);
        }
        assert_memory_equal(&answer, &untouched, sizeof answer);
    }
}

static void digits_beyond_the_microsecond_are_dropped(void **state) {
    (void)state;
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of("1.0000019999999999999999999999 200 OK"), &answer));
    assert_int_equal(answer.time_us, 1000001);
    assert_true(srcp_answer_parse(srcp_text_of("9999999999999.999999 200 OK"), &answer));
    assert_int_equal(answer.time_us, 9999999999999999999u);
}

static int32_t session_of(const char *line) {
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of(line), &answer));
    return srcp_answer_session(&answer);
}

static void the_session_id_is_read_from_go(void **state) {
    (void)state;
    assert_int_equal(session_of("1.0 200 OK GO 17"), 17);
    assert_int_equal(session_of("1.0 200 OK"), 0);
    assert_int_equal(session_of("1.0 200 OK GO"), 0);
    assert_int_equal(session_of("1.0 200 OK GO x"), 0);
    assert_int_equal(session_of("1.0 200 OK GO -1"), 0);
    assert_int_equal(session_of("1.0 200 OK GO 1 2"), 0);
    assert_int_equal(session_of("1.0 402 ERROR GO 17"), 0);
}

static void welcome_values_are_found_by_key(void **state) {
    (void)state;
    const struct srcp_text line = srcp_text_of("drawtender 0.1.0;SRCP 0.8.4 ; SRCPOTHER  0.8.3;");
    protocol_assert_text(srcp_welcome_value(line, "SRCP"), "0.8.4", "SRCP");
    protocol_assert_text(srcp_welcome_value(line, "SRCPOTHER"), "0.8.3", "SRCPOTHER");
    protocol_assert_text(srcp_welcome_value(line, "drawtender"), "0.1.0", "the server");
    protocol_assert_text(srcp_welcome_value(line, "OTHER"), "", "a key that is not there");
    protocol_assert_text(srcp_welcome_value((struct srcp_text){NULL, 0}, "SRCP"), "", "nothing");
    protocol_assert_text(srcp_welcome_value(srcp_text_of(";;SRCP"), "SRCP"), "", "no value");
}

/* What reply.h writes, client.h reads. */
static void our_own_lines_read_back(void **state) {
    (void)state;
    char out[SRCP_REPLY_SIZE];
    struct srcp_answer answer;
    size_t length = srcp_reply_go(out, 7001000, 3);
    assert_true(srcp_answer_parse((struct srcp_text){out, length - 1}, &answer));
    assert_int_equal(answer.time_us, 7001000);
    assert_int_equal(srcp_answer_session(&answer), 3);
    length = srcp_info_lock(out, 7001000, 2, SRCP_GA, 1, 60, 3);
    assert_true(srcp_answer_parse((struct srcp_text){out, length - 1}, &answer));
    assert_true(answer.has_group);
    assert_int_equal(answer.bus, 2);
    assert_int_equal(answer.group, SRCP_LOCK);
    protocol_assert_text(answer.rest, "GA 1 60 3", "rest");
    length = srcp_welcome(out, "1");
    protocol_assert_text(srcp_welcome_value((struct srcp_text){out, length - 1}, "SRCP"), "0.8.4",
                         "welcome");
    for (int code = SRCP_DONE; code <= SRCP_OUT_OF_RESOURCES; code++) {
        if (srcp_code_text((enum srcp_code)code) != NULL) {
            length = srcp_reply(out, 7001000, (enum srcp_code)code);
            assert_true(srcp_answer_parse((struct srcp_text){out, length - 1}, &answer));
            assert_int_equal(answer.code, code);
            assert_int_equal(answer.kind, code < 400 ? SRCP_ANSWER_OK : SRCP_ANSWER_ERROR);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_fall_into_their_parts),
        cmocka_unit_test(groups_are_read_only_where_they_stand),
        cmocka_unit_test(other_lines_are_no_answers),
        cmocka_unit_test(digits_beyond_the_microsecond_are_dropped),
        cmocka_unit_test(the_session_id_is_read_from_go),
        cmocka_unit_test(welcome_values_are_found_by_key),
        cmocka_unit_test(our_own_lines_read_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "protocol/reply.h"
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const uint64_t T = 1000000000123456; /* 1000000000.123 s and a bit */

/* On the heap, so that the address sanitizer sees a byte too many. */
static char *out;

static int new_out(void **state) {
    (void)state;
    out = malloc(SRCP_REPLY_SIZE);
    return out == NULL;
}

static int free_out(void **state) {
    (void)state;
    free(out);
    return 0;
}

static void check(size_t length, const char *wanted) {
    assert_string_equal(out, wanted);
    assert_int_equal(length, strlen(wanted));
}

/* Field orders: from memory of SRCP 0.8.4; of LOCK, SESSION and SERVER weakly. */
static void every_line_has_its_words_in_order(void **state) {
    (void)state;
    const struct srcp_text nothing = {NULL, 0};
#define AT "1000000000.123 "
    check(srcp_welcome(out, "0.1.0"), "drawtender 0.1.0; SRCP 0.8.4; SRCPOTHER 0.8.3\n");
    check(srcp_reply_go(out, T, 12), AT "200 OK GO 12\n");
    check(srcp_info_description(out, T, 1, 1u << SRCP_GA | 1u << SRCP_LOCK | 1u << SRCP_POWER),
          AT "100 INFO 1 DESCRIPTION GA POWER LOCK\n");
    check(srcp_info_description(out, T, 0, 0), AT "100 INFO 0 DESCRIPTION\n");
    check(srcp_info_description(out, T, 0, (1u << SRCP_GROUPS) - 1),
          AT "100 INFO 0 DESCRIPTION GL GA FB SM POWER LOCK TIME SESSION SERVER DESCRIPTION GM\n");
    check(srcp_info_device(out, T, 1, SRCP_FB, 101, nothing), AT "101 INFO 1 FB 101 P\n");
    check(srcp_info_device(out, T, 1, SRCP_GA, 11, srcp_text_of("signal main west")),
          AT "101 INFO 1 GA 11 P signal main west\n");
    check(srcp_info_ga(out, T, 1, 11, 1, 0), AT "100 INFO 1 GA 11 1 0\n");
    check(srcp_info_fb(out, T, 2, 5, 1), AT "100 INFO 2 FB 5 1\n");
    check(srcp_info_power_device(out, T, 1), AT "101 INFO 1 POWER\n");
    check(srcp_info_power(out, T, 1, true, srcp_text_of("good morning")),
          AT "100 INFO 1 POWER ON good morning\n");
    check(srcp_info_power(out, T, 1, false, nothing), AT "100 INFO 1 POWER OFF\n");
    check(srcp_info_lock(out, T, 1, SRCP_GA, 2, 60, 7), AT "100 INFO 1 LOCK GA 2 60 7\n");
    check(srcp_info_lock_ended(out, T, 1, SRCP_GA, 2), AT "102 INFO 1 LOCK GA 2\n");
    check(srcp_info_time_rate(out, T, 12, 5), AT "101 INFO 0 TIME 12 5\n");
    check(srcp_info_time(out, T, 1, 2, 3, 4), AT "100 INFO 0 TIME 1 2 3 4\n");
    check(srcp_info_time_ended(out, T), AT "102 INFO 0 TIME\n");
    check(srcp_info_session_begun(out, T, 3, SRCP_INFO_MODE), AT "101 INFO 0 SESSION 3 INFO\n");
    check(srcp_info_session(out, T, 3, SRCP_COMMAND_MODE), AT "100 INFO 0 SESSION 3 COMMAND\n");
    check(srcp_info_session_ended(out, T, 3), AT "102 INFO 0 SESSION 3\n");
    check(srcp_info_server(out, T, SRCP_RUNNING), AT "100 INFO 0 SERVER RUNNING\n");
    check(srcp_info_server(out, T, SRCP_RESETTING), AT "100 INFO 0 SERVER RESETTING\n");
    check(srcp_info_server(out, T, SRCP_TERMINATING), AT "100 INFO 0 SERVER TERMINATING\n");
    check(srcp_info_gm(out, T, 0, 4, srcp_text_of("PHASE"), srcp_text_of("1 raising up travel")),
          AT "100 INFO 0 GM 0 4 PHASE 1 raising up travel\n");
    check(srcp_info_gm(out, T, 0, 0, srcp_text_of("HELLO"), nothing),
          AT "100 INFO 0 GM 0 0 HELLO\n");
}

static void fixed_texts_come_from_the_table(void **state) {
    (void)state;
    for (int code = SRCP_DONE; code <= SRCP_OUT_OF_RESOURCES; code++) {
        const char *text = srcp_code_text((enum srcp_code)code);
        if (text != NULL) {
            char wanted[100];
            snprintf(wanted, sizeof wanted, AT "%d %s\n", code, text);
            check(srcp_reply(out, T, (enum srcp_code)code), wanted);
        }
    }
    check(srcp_reply(out, T, SRCP_NO_FAULT), AT "499 ERROR unspecified error\n");
    check(srcp_reply(out, T, SRCP_INFO_INIT), AT "499 ERROR unspecified error\n");
    check(srcp_reply(out, T, (enum srcp_code)444), AT "499 ERROR unspecified error\n");
}

/* Three digits: from memory, weakly. Cut, not rounded: stamps keep their order. */
static void time_stamps_have_three_digits(void **state) {
    (void)state;
    check(srcp_reply(out, 0, SRCP_DONE), "0.000 200 OK\n");
    check(srcp_reply(out, 999, SRCP_DONE), "0.000 200 OK\n");
    check(srcp_reply(out, 1000, SRCP_DONE), "0.001 200 OK\n");
    check(srcp_reply(out, 1999999, SRCP_DONE), "1.999 200 OK\n");
    check(srcp_reply(out, 2050000, SRCP_DONE), "2.050 200 OK\n");
    check(srcp_reply_go(out, 2050000, 1), "2.050 200 OK GO 1\n");
    check(srcp_info_time_ended(out, 2050000), "2.050 102 INFO 0 TIME\n");
    check(srcp_reply(out, UINT64_MAX, SRCP_DONE), "18446744073709.551 200 OK\n");
}

static void long_text_is_cut_at_the_longest_line(void **state) {
    (void)state;
    for (size_t length = 900; length < 2000; length++) {
        char *text = malloc(length);
        assert_non_null(text);
        memset(text, 'x', length);
        const size_t head = strlen(AT "100 INFO 0 GM 0 0 NOTE ");
        const size_t wanted = head + length + 1 < SRCP_LINE_MAX ? head + length + 1 : SRCP_LINE_MAX;
        assert_int_equal(
            srcp_info_gm(out, T, 0, 0, srcp_text_of("NOTE"), (struct srcp_text){text, length}),
            wanted);
        assert_int_equal(strlen(out), wanted);
        assert_int_equal(out[wanted - 1], '\n');
        assert_int_equal(out[wanted - 2], 'x');
        free(text);
    }
}

static void a_line_of_the_longest_length_reads_back_whole(void **state) {
    (void)state;
    char text[2000];
    memset(text, 'x', sizeof text);
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_text chunk = {
        out, srcp_info_power(out, T, 1, true, (struct srcp_text){text, sizeof text})};
    struct srcp_text line;
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_TEXT);
    assert_int_equal(line.length, SRCP_LINE_MAX - 1);
}

static void no_text_can_forge_a_line(void **state) {
    (void)state;
    check(srcp_info_power(out, T, 1, true, srcp_text_of("a\n1.000 200 OK\r\tb\x7f\x01")),
          AT "100 INFO 1 POWER ON a?1.000 200 OK??b??\n");
    check(srcp_info_gm(out, T, 0, 0, srcp_text_of("N\nM"),
                       srcp_text_of("Kn\xc3\xb6"
                                    "chel \xe2\x82\xac")),
          AT "100 INFO 0 GM 0 0 N?M Kn?chel ?\n");
    check(srcp_welcome(out, "1\n2"), "drawtender 1?2; SRCP 0.8.4; SRCPOTHER 0.8.3\n");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_line_has_its_words_in_order),
        cmocka_unit_test(fixed_texts_come_from_the_table),
        cmocka_unit_test(time_stamps_have_three_digits),
        cmocka_unit_test(long_text_is_cut_at_the_longest_line),
        cmocka_unit_test(a_line_of_the_longest_length_reads_back_whole),
        cmocka_unit_test(no_text_can_forge_a_line),
    };
    return cmocka_run_group_tests(tests, new_out, free_out);
}

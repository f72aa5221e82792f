#include "support/check.h"
#include "support/tool/tool_server.h"
#include "tools/drawtender/client/talk.h"

#include <limits.h>
#include <poll.h>
#include <string.h>

static void deadlines_are_what_poll_wants(void **state) {
    (void)state;
    const struct deadline never = {0};
    assert_int_equal(deadline_poll_ms(never), -1);
    assert_false(deadline_is_past(never));
    assert_int_equal(deadline_poll_ms(deadline_in(0)), 0);
    assert_true(deadline_is_past(deadline_in(0)));
    const struct deadline long_past = {.is_set = true, .at_ms = 1};
    assert_int_equal(deadline_poll_ms(long_past), 0);
    assert_int_equal(deadline_poll_ms(deadline_in(UINT32_MAX)), INT_MAX);
    assert_false(deadline_is_past(deadline_in(UINT32_MAX)));
}

/* What a flood that is faster than its reader comes down to. */
static void a_deadline_ends_even_what_keeps_coming(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_HELLO(0, "COMMAND", "7"),
                                              {FAKE_EXPECT, 0, "GET 1 FB 1"},
                                              {FAKE_SEND, 0, "1.000 100 INFO 1 FB 1 1\n"},
                                              {0}};
    struct tool_server server;
    tool_server_start(&server, script);
    const struct deadline never = {0};
    static struct talk talk;
    assert_true(talk_open(&talk, "127.0.0.1", server.port, SRCP_COMMAND_MODE, never, NULL));
    struct srcp_answer answer;
    assert_int_equal(talk_ask(&talk, "GET 1 FB 1", deadline_in(0), &answer), TALK_TIMED_OUT);
    struct pollfd readable = {.fd = talk.socket, .events = POLLIN};
    assert_int_equal(poll(&readable, 1, -1), 1);
    assert_int_equal(talk_receive(&talk, deadline_in(0), &answer), TALK_TIMED_OUT);
    assert_int_equal(talk_receive(&talk, never, &answer), TALK_ANSWER);
    talk_close(&talk);
    assert_true(tool_server_finish(&server));
}

static void lines_come_whole_however_they_are_cut(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_HELLO(0, "COMMAND", "7"),  {FAKE_EXPECT, 0, "GET 0 SERVER"},
        {FAKE_SEND, 0, "1.000 100 IN"}, {FAKE_SEND, 0, "FO 0 SERVER RUNN"},
        {FAKE_SEND, 0, "ING\r"},        {FAKE_SEND, 0, "\n1.000 200 OK\n1.000 2"},
        {FAKE_CLOSE, 0, NULL},          {0}};
    struct tool_server server;
    tool_server_start(&server, script);
    const struct deadline never = {0};
    static struct talk talk;
    assert_true(talk_open(&talk, "127.0.0.1", server.port, SRCP_COMMAND_MODE, never, NULL));
    assert_int_equal(talk.session, 7);
    struct srcp_answer answer;
    assert_int_equal(talk_ask(&talk, "GET 0 SERVER", never, &answer), TALK_ANSWER);
    assert_true(srcp_text_is(answer.rest, "RUNNING"));
    assert_int_equal(talk_receive(&talk, never, &answer), TALK_ANSWER);
    assert_int_equal(answer.code, SRCP_DONE);
    assert_int_equal(talk_receive(&talk, never, &answer), TALK_LOST);
    talk_close(&talk);
    assert_true(tool_server_finish(&server));
}

static void a_line_longer_than_the_protocol_has_is_not_sent(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_HELLO(0, "COMMAND", "7"), {FAKE_GONE, 0, NULL}, {0}};
    struct tool_server server;
    tool_server_start(&server, script);
    const struct deadline never = {0};
    static struct talk talk;
    assert_true(talk_open(&talk, "127.0.0.1", server.port, SRCP_COMMAND_MODE, never, NULL));
    char line[SRCP_LINE_MAX + 1];
    memset(line, 'A', sizeof line - 1);
    line[sizeof line - 1] = '\0';
    struct srcp_answer answer;
    assert_int_equal(talk_ask(&talk, line, never, &answer), TALK_GARBLED);
    talk_close(&talk);
    assert_true(tool_server_finish(&server));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(deadlines_are_what_poll_wants),
        cmocka_unit_test(a_deadline_ends_even_what_keeps_coming),
        cmocka_unit_test(lines_come_whole_however_they_are_cut),
        cmocka_unit_test(a_line_longer_than_the_protocol_has_is_not_sent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

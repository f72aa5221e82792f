#include "protocol/handshake.h"
#include "support/check.h"
#include "support/net/protocol_text.h"

#include <string.h>

/* Requests and codes: from memory of SRCP 0.8.4; 402, 0.8 and TERM are our decisions. */
static void every_line_has_its_code(void **state) {
    (void)state;
    static const struct {
        const char *line;
        int code;
        enum srcp_handshake_next next;
    } cases[] = {
        {"SET PROTOCOL SRCP 0.8.4", 201, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 0.8.3", 201, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 0.8", 201, SRCP_HANDSHAKE_STAYS},
        {"SET\tPROTOCOL   SRCP\t0.8.4", 201, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 0.8.2", 400, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 0.8.40", 400, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 1", 400, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL OTHER 0.8.4", 400, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL OTHER", 400, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP COMMAND", 202, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP INFO", 202, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP BOTH", 401, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP info", 401, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE OTHER INFO", 401, SRCP_HANDSHAKE_STAYS},
        {"SET", 402, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL", 402, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP", 402, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE", 402, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP", 402, SRCP_HANDSHAKE_STAYS},
        {"TERM", 402, SRCP_HANDSHAKE_STAYS},
        {"TERM 0", 402, SRCP_HANDSHAKE_STAYS},
        {"TERM 0 SESSION", 200, SRCP_HANDSHAKE_ENDS},
        {"TERM 1 SESSION", 410, SRCP_HANDSHAKE_STAYS},
        {"TERM 0 SERVER", 410, SRCP_HANDSHAKE_STAYS},
        {"TERM 0 SESSION 7", 410, SRCP_HANDSHAKE_STAYS},
        {"GO", 200, SRCP_HANDSHAKE_GOES},
        {"GO 1", 410, SRCP_HANDSHAKE_STAYS},
        {"go", 410, SRCP_HANDSHAKE_STAYS},
        {"SET PROTOCOL SRCP 0.8.4 NOW", 410, SRCP_HANDSHAKE_STAYS},
        {"SET CONNECTIONMODE SRCP INFO NOW", 410, SRCP_HANDSHAKE_STAYS},
        {"SET MODE SRCP INFO", 410, SRCP_HANDSHAKE_STAYS},
        {"SET 1 GA 1 1 1 -1", 410, SRCP_HANDSHAKE_STAYS},
        {"GET 0 SERVER", 410, SRCP_HANDSHAKE_STAYS},
        {"HELP", 410, SRCP_HANDSHAKE_STAYS},
        {"", 410, SRCP_HANDSHAKE_STAYS},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct srcp_handshake handshake = {SRCP_COMMAND_MODE};
        enum srcp_code code = SRCP_NO_FAULT;
        const enum srcp_handshake_next next =
            srcp_handshake_step(&handshake, srcp_text_of(cases[i].line), &code);
        if ((int)code != cases[i].code || next != cases[i].next) {
            fail_msg("\"%s\": code %d, wanted %d", cases[i].line, (int)code, cases[i].code);
        }
    }
}

static enum srcp_mode mode_after(const char *first, const char *second) {
    struct srcp_handshake handshake;
    memset(&handshake, 0, sizeof handshake);
    enum srcp_code code;
    srcp_handshake_step(&handshake, srcp_text_of(first), &code);
    srcp_handshake_step(&handshake, srcp_text_of(second), &code);
    assert_int_equal(srcp_handshake_step(&handshake, srcp_text_of("GO"), &code),
                     SRCP_HANDSHAKE_GOES);
    return handshake.mode;
}

static void the_last_good_mode_counts(void **state) {
    (void)state;
    static const char *const command = "SET CONNECTIONMODE SRCP COMMAND";
    static const char *const info = "SET CONNECTIONMODE SRCP INFO";
    static const char *const protocol = "SET PROTOCOL SRCP 0.8.4";
    assert_int_equal(mode_after(protocol, protocol), SRCP_COMMAND_MODE); /* not asked: COMMAND */
    assert_int_equal(mode_after(protocol, info), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, protocol), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, command), SRCP_COMMAND_MODE);
    assert_int_equal(mode_after(command, info), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, "SET CONNECTIONMODE SRCP BOTH"), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, "SET CONNECTIONMODE SRCP COMMAND NOW"), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, "SET CONNECTIONMODE OTHER COMMAND"), SRCP_INFO_MODE);
    assert_int_equal(mode_after(info, "SET PROTOCOL OTHER 1"), SRCP_INFO_MODE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_line_has_its_code),
        cmocka_unit_test(the_last_good_mode_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "protocol/names.h"
#include "support/check.h"

#include <string.h>

static void every_word_reads_back_as_itself(void **state) {
    (void)state;
    static const char *const commands[] = {
        [SRCP_GET] = "GET",     [SRCP_SET] = "SET",       [SRCP_CHECK] = "CHECK",
        [SRCP_WAIT] = "WAIT",   [SRCP_INIT] = "INIT",     [SRCP_TERM] = "TERM",
        [SRCP_RESET] = "RESET", [SRCP_VERIFY] = "VERIFY",
    };
    assert_int_equal(sizeof commands / sizeof commands[0], SRCP_COMMANDS);
    for (unsigned i = 0; i < SRCP_COMMANDS; i++) {
        enum srcp_command found;
        assert_true(srcp_command_named(srcp_text_of(commands[i]), &found));
        assert_int_equal(found, i);
    }
    for (unsigned i = 0; i < SRCP_GROUPS; i++) {
        enum srcp_group found;
        assert_true(srcp_group_named(srcp_text_of(srcp_group_name((enum srcp_group)i)), &found));
        assert_int_equal(found, i);
    }
    for (unsigned i = 0; i < SRCP_MODES; i++) {
        enum srcp_mode found;
        assert_true(srcp_mode_named(srcp_text_of(srcp_mode_name((enum srcp_mode)i)), &found));
        assert_int_equal(found, i);
    }
}

static void other_words_are_none_of_them(void **state) {
    (void)state;
    static const char *const words[] = {"", "get", "GETS", "GE", "ga", "GAA", "command", "GO"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        enum srcp_command command = SRCP_VERIFY;
        enum srcp_group group = SRCP_GM;
        enum srcp_mode mode = SRCP_INFO_MODE;
        assert_false(srcp_command_named(srcp_text_of(words[i]), &command));
        assert_false(srcp_group_named(srcp_text_of(words[i]), &group));
        assert_false(srcp_mode_named(srcp_text_of(words[i]), &mode));
        assert_int_equal(command, SRCP_VERIFY);
        assert_int_equal(group, SRCP_GM);
        assert_int_equal(mode, SRCP_INFO_MODE);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_word_reads_back_as_itself),
        cmocka_unit_test(other_words_are_none_of_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

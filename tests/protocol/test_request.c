#include "protocol/line.h"
#include "protocol/request.h"
#include "support/check.h"
#include "support/net/protocol_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BIT(group) (1u << (group))

/* A server with one bridge on bus 1 and another on bus 3. */
static const struct srcp_bus buses[] = {
    {0,
     BIT(SRCP_SESSION) | BIT(SRCP_SERVER) | BIT(SRCP_TIME) | BIT(SRCP_GM) | BIT(SRCP_DESCRIPTION),
     0},
    {1, BIT(SRCP_GA) | BIT(SRCP_FB) | BIT(SRCP_POWER) | BIT(SRCP_LOCK) | BIT(SRCP_DESCRIPTION),
     BIT(SRCP_GA)},
    {3, BIT(SRCP_FB) | BIT(SRCP_DESCRIPTION), 0},
};
static const struct srcp_scope scope = {buses, sizeof buses / sizeof buses[0]};

/* Parses a line that lies alone on the heap. Texts in the request are checked to lie within it,
 * and are dropped. */
static enum srcp_code parse(const char *line, struct srcp_request *request) {
    const struct srcp_text copy = protocol_text_copy(line, strlen(line));
    const enum srcp_code code = srcp_request_parse(copy, &scope, request);
    if (code == SRCP_NO_FAULT) {
        const struct srcp_text texts[] = {request->type, request->text};
        for (size_t i = 0; i < 2; i++) {
            assert_true(
                texts[i].length == 0 ||
                (texts[i].at >= copy.at && texts[i].at + texts[i].length <= copy.at + copy.length));
        }
    }
    free((void *)copy.at);
    return code;
}

/* What would be answered if every address existed. */
static enum srcp_code code_of(const char *line) {
    struct srcp_request request;
    const enum srcp_code code = parse(line, &request);
    return code == SRCP_NO_FAULT ? request.value_fault : code;
}

struct coded_line {
    const char *line;
    int code;
};

static void check_codes(const struct coded_line *cases, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const int code = (int)code_of(cases[i].line);
        if (code != cases[i].code) {
            fail_msg("\"%s\": %d, wanted %d", cases[i].line, code, cases[i].code);
        }
    }
}

/* Each line has all the faults that are still to come; mending one shows the next. */
static void faults_are_found_in_their_order(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"MOVE 9 GL a b", 410},    {"VERIFY 9 GL a b", 412},  {"VERIFY 1 GL a b", 422},
        {"VERIFY 1 GA a b", 423},  {"SET 1 GA a b c", 419},   {"SET 1 GA a b c d e", 418},
        {"SET 1 GA a b c d", 421}, {"SET 1 GA 1 b c d", 412}, {"SET 1 GA 1 0 c d", 412},
        {"SET 1 GA 1 0 1 d", 412}, {"SET 1 GA 1 0 1 -1", 0},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void value_faults_wait_until_the_address_is_known(void **state) {
    (void)state;
    struct srcp_request request;
    assert_int_equal(parse("SET 1 GA 77 x 1 -1", &request), SRCP_NO_FAULT);
    assert_int_equal(request.address, 77); /* the caller can answer 421 first */
    assert_int_equal(request.value_fault, SRCP_WRONG_VALUE);
    assert_int_equal(parse("SET 1 LOCK GA 77 -1", &request), SRCP_NO_FAULT);
    assert_int_equal(request.address, 77);
    assert_int_equal(request.target, SRCP_GA);
    assert_int_equal(request.value_fault, SRCP_WRONG_VALUE);
    assert_int_equal(parse("INIT 1 GA 77 N 1", &request), SRCP_NO_FAULT);
    assert_int_equal(request.address, 77);
    assert_int_equal(request.value_fault, SRCP_UNSUPPORTED_DEVICE_PROTOCOL);
}

/* Which command each group has; from memory of SRCP 0.8.4, RESET and CHECK weakly. The letter of
 * each command: 'x' has it, '.' does not, 'o' is an option that is not offered. Order: GET SET
 * CHECK WAIT INIT TERM RESET VERIFY. */
static void every_command_of_every_group_is_taken_or_refused(void **state) {
    (void)state;
    static const char *const commands[] = {"GET",  "SET",  "CHECK", "WAIT",
                                           "INIT", "TERM", "RESET", "VERIFY"};
    static const struct {
        unsigned bus;
        const char *group;
        const char *has;
    } groups[] = {
        {1, "GA", "xxxxxx.."},   {1, "FB", "xooxxx.."},          {1, "POWER", "xxx.xx.."},
        {1, "LOCK", "xxx..x.."}, {1, "DESCRIPTION", "x......."}, {0, "DESCRIPTION", "x......."},
        {0, "TIME", "xxxxxx.."}, {0, "SESSION", "x....x.."},     {0, "SERVER", "x....xx."},
        {0, "GM", ".xx....."},
    };
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        for (size_t c = 0; c < 8; c++) {
            char line[100];
            /* Refused as an operation before its words are counted. */
            snprintf(line, sizeof line, "%s %u %s", commands[c], groups[g].bus, groups[g].group);
            const enum srcp_code code = code_of(line);
            const char is = code == SRCP_UNSUPPORTED_OPERATION ? '.'
                            : code == SRCP_NOT_SUPPORTED       ? 'o'
                                                               : 'x';
            if (is != groups[g].has[c]) {
                fail_msg("%s: %d", line, (int)code);
            }
        }
    }
}

static void groups_that_are_not_on_the_bus_are_unsupported(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"GET 1 GL 3", 422},          {"SET 1 GL 3 1 10 100", 422},
        {"INIT 1 SM NMRA", 422},      {"GET 0 GA 1 0", 422},
        {"GET 0 POWER", 422},         {"GET 0 LOCK GA 1", 422},
        {"GET 1 TIME", 422},          {"GET 1 SESSION", 422},
        {"GET 1 SERVER", 422},        {"SET 1 GM 0 0 A b", 422},
        {"GET 3 GA 1 0", 422},        {"GET 3 POWER", 422},
        {"GET 1 ga 1 0", 422},        {"GET 1 GA1 0", 422},
        {"GET 1 1 GA", 422},          {"GET 3 FB 1", 0},
        {"GET 3 DESCRIPTION", 0},     {"GET 1 DESCRIPTION GL", 422},
        {"GET 1 DESCRIPTION X", 422}, {"GET 3 DESCRIPTION GA 1", 422},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void only_groups_with_locks_can_be_locked(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"GET 1 LOCK GA 1", 0},       {"GET 1 LOCK FB 1", 422},   {"SET 1 LOCK POWER 1 0", 422},
        {"SET 1 LOCK LOCK 1 0", 422}, {"TERM 1 LOCK GL 1", 422},  {"SET 1 LOCK x 1 0", 422},
        {"SET 1 LOCK x y z", 422},    {"SET 1 LOCK GA y z", 421}, {"SET 1 LOCK GA 1 z", 412},
        {"SET 1 LOCK GA 1", 419},     {"GET 1 LOCK GA", 419},     {"SET 1 LOCK GA 1 60 1", 418},
        {"TERM 1 LOCK GA 1 1", 418},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void heads_that_break_off_or_are_wrong_are_told(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"", 410},           {"get 1 GA 1 0", 410},
        {"GO", 410},         {"1 SET GA", 410},
        {"GET", 419},        {"GET 1", 419},
        {"GET 2", 412},      {"GET x", 412},
        {"GET -1 GA", 412},  {"GET 01 FB 1", 0},
        {"GET GA 1 0", 412}, {"GET 4294967297 FB 1", 412}, /* 2^32 + 1 */
        {"GET 1.0 FB", 412}, {"GET 99999999999999999999 FB 1", 412},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void a_negative_bus_is_never_there(void **state) {
    (void)state;
    static const struct srcp_bus last[] = {{UINT32_MAX, BIT(SRCP_FB), 0}};
    const struct srcp_scope one = {last, 1};
    struct srcp_request request;
    assert_int_equal(srcp_request_parse(srcp_text_of("GET -1 FB 1"), &one, &request),
                     SRCP_WRONG_VALUE);
}

static void words_are_counted(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"GET 1 GA", 419},
        {"GET 1 GA 1", 419},
        {"GET 1 GA 1 0 0", 418},
        {"SET 1 GA 1 0", 419},
        {"SET 1 GA 1 0 1", 419},
        {"SET 1 GA 1 0 1 -1 0", 418},
        {"CHECK 1 GA 1 0 1", 419},
        {"CHECK 1 GA 1 0 1 -1 0", 418},
        {"WAIT 1 GA 1 0 1", 419},
        {"WAIT 1 GA 1 0 1 5 5", 418},
        {"INIT 1 GA 1", 419},
        {"INIT 1 GA 1 P these are taken too", 0},
        {"TERM 1 GA", 419},
        {"TERM 1 GA 1 0", 418},
        {"GET 1 FB", 419},
        {"GET 1 FB 1 1", 418},
        {"WAIT 1 FB 1 1", 419},
        {"WAIT 1 FB 1 1 5 5", 418},
        {"INIT 1 FB 1", 419},
        {"INIT 1 FB 1 P", 0},
        {"TERM 1 FB", 419},
        {"TERM 1 FB 1 1", 418},
        {"GET 1 POWER 1", 418},
        {"SET 1 POWER", 419},
        {"CHECK 1 POWER", 419},
        {"SET 1 POWER ON any words at all", 0},
        {"INIT 1 POWER", 0},
        {"INIT 1 POWER P", 418},
        {"TERM 1 POWER", 0},
        {"TERM 1 POWER ON", 418},
        {"GET 0 TIME", 0},
        {"GET 0 TIME 1", 418},
        {"SET 0 TIME 1 2 3", 419},
        {"SET 0 TIME 1 2 3 4 5", 418},
        {"WAIT 0 TIME 1 2 3", 419},
        {"WAIT 0 TIME 1 2 3 4 5", 418},
        {"INIT 0 TIME 1", 419},
        {"INIT 0 TIME 1 1 1", 418},
        {"TERM 0 TIME", 0},
        {"TERM 0 TIME 1", 418},
        {"GET 0 SESSION", 0},
        {"GET 0 SESSION 1", 0},
        {"GET 0 SESSION 1 1", 418},
        {"TERM 0 SESSION", 0},
        {"TERM 0 SESSION 1", 0},
        {"TERM 0 SESSION 1 1", 418},
        {"GET 0 SERVER", 0},
        {"GET 0 SERVER NOW", 418},
        {"RESET 0 SERVER", 0},
        {"RESET 0 SERVER NOW", 418},
        {"TERM 0 SERVER", 0},
        {"TERM 0 SERVER NOW", 418},
        {"GET 1 DESCRIPTION", 0},
        {"GET 1 DESCRIPTION GA", 0},
        {"GET 1 DESCRIPTION GA 1", 0},
        {"GET 1 DESCRIPTION GA 1 0", 418},
        {"GET 1 DESCRIPTION GA x", 421},
        {"SET 0 GM 0 0", 419},
        {"SET 0 GM 0 0 HELLO", 0},
        {"SET 0 GM 0 0 HELLO to all of you", 0},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void addresses_that_are_no_numbers_are_unsupported_devices(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"GET 1 GA x 0", 421}, {"GET 1 GA 1.0 0", 421},      {"GET 1 GA + 0", 421},
        {"GET 1 FB 0x1", 421}, {"GET 1 FB 4294967297", 421}, {"GET 1 LOCK GA -", 421},
        {"GET 1 GA -1 0", 0},  {"GET 1 FB 2147483647", 0},   {"TERM 1 FB 2147483648", 421},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void values_are_numbers_in_their_range(void **state) {
    (void)state;
    static const struct coded_line cases[] = {
        {"GET 1 GA 1 -1", 412},
        {"GET 1 GA 1 0.5", 412},
        {"GET 1 GA 1 2147483648", 412},
        {"SET 1 GA 1 0 -7 -1", 0}, /* the device's question */
        {"SET 1 GA 1 0 2147483648 -1", 412},
        {"SET 1 GA 1 0 on -1", 412},
        {"SET 1 GA 1 0 1 -2", 412},
        {"SET 1 GA 1 0 1 -", 412},
        {"SET 1 GA 1 0 1 1e3", 412},
        {"SET 1 GA 1 0 1 2147483647", 0},
        {"SET 1 GA 1 0 1 2147483648", 412},
        {"WAIT 1 GA 1 0 1 -1", 412},
        {"WAIT 1 GA 1 0 1 0", 0},
        {"WAIT 1 FB 1 1 -1", 412},
        {"WAIT 1 FB 1 1 0", 0},
        {"WAIT 1 FB 1 x 0", 412},
        {"INIT 1 GA 1 N", 420},
        {"INIT 1 FB 1 p", 420},
        {"INIT 1 FB 1 PP", 420},
        {"SET 1 POWER on", 412},
        {"SET 1 POWER ONE", 412},
        {"SET 1 POWER 1", 412},
        {"SET 1 POWER OFF", 0},
        {"SET 1 LOCK GA 1 -1", 412},
        {"SET 1 LOCK GA 1 0", 0},
        {"SET 0 TIME 0 0 0 0", 0},
        {"SET 0 TIME 9999999 23 59 59", 0},
        {"SET 0 TIME 10000000 0 0 0", 412},
        {"SET 0 TIME -1 0 0 0", 412},
        {"SET 0 TIME 0 24 0 0", 412},
        {"SET 0 TIME 0 -1 0 0", 412},
        {"SET 0 TIME 0 0 60 0", 412},
        {"SET 0 TIME 0 0 0 60", 412},
        {"WAIT 0 TIME 0 0 0 60", 412},
        {"INIT 0 TIME 0 1", 412},
        {"INIT 0 TIME 1 0", 412},
        {"INIT 0 TIME 2000 1", 0},
        {"INIT 0 TIME 2001 1", 412},
        {"INIT 0 TIME 1 2001", 412},
        {"GET 0 SESSION 0", 412},
        {"GET 0 SESSION -1", 412},
        {"TERM 0 SESSION me", 412},
        {"SET 0 GM -1 0 A b", 412},
        {"SET 0 GM 0 -1 A b", 412},
        {"SET 0 GM all 0 A b", 412},
    };
    check_codes(cases, sizeof cases / sizeof cases[0]);
}

static void accessory_words_arrive_in_their_fields(void **state) {
    (void)state;
    struct srcp_request request;
    assert_int_equal(parse("SET 1 GA 11 1 5 250", &request), 0);
    assert_int_equal(request.command, SRCP_SET);
    assert_int_equal(request.bus, 1);
    assert_int_equal(request.group, SRCP_GA);
    assert_int_equal(request.address, 11);
    assert_int_equal(request.port, 1);
    assert_int_equal(request.value, 5);
    assert_int_equal(request.delay_ms, 250);
    assert_int_equal(parse("CHECK 1 GA 2 3 4 -1", &request), 0);
    assert_int_equal(request.command, SRCP_CHECK);
    assert_int_equal(request.port, 3);
    assert_int_equal(request.delay_ms, -1);
    assert_int_equal(parse("SET 1 GA 1 0 1 0", &request), 0);
    assert_int_equal(request.delay_ms, -1); /* ours: 0 is read as -1 */
    assert_int_equal(parse("WAIT 1 GA 2 3 4 5", &request), 0);
    assert_int_equal(request.value, 4);
    assert_int_equal(request.timeout_s, 5);
    assert_int_equal(parse("WAIT 3 FB 101 1 30", &request), 0);
    assert_int_equal(request.bus, 3);
    assert_int_equal(request.group, SRCP_FB);
    assert_int_equal(request.address, 101);
    assert_int_equal(request.value, 1);
    assert_int_equal(request.timeout_s, 30);
}

static void server_words_arrive_in_their_fields(void **state) {
    (void)state;
    struct srcp_request request;
    assert_int_equal(parse("SET 1 LOCK GA 12 60", &request), 0);
    assert_true(request.has_target);
    assert_int_equal(request.target, SRCP_GA);
    assert_int_equal(request.address, 12);
    assert_int_equal(request.duration_s, 60);
    assert_int_equal(parse("SET 0 TIME 1 2 3 4", &request), 0);
    assert_int_equal(request.time.day, 1);
    assert_int_equal(request.time.hour, 2);
    assert_int_equal(request.time.minute, 3);
    assert_int_equal(request.time.second, 4);
    assert_int_equal(parse("INIT 0 TIME 12 5", &request), 0);
    assert_int_equal(request.time.fx, 12);
    assert_int_equal(request.time.fy, 5);
    assert_int_equal(parse("TERM 0 SESSION 8", &request), 0);
    assert_int_equal(request.session, 8);
    assert_int_equal(parse("TERM 0 SESSION", &request), 0);
    assert_int_equal(request.session, 0);
    assert_int_equal(parse("GET 1 DESCRIPTION", &request), 0);
    assert_false(request.has_target || request.has_address);
    assert_int_equal(parse("GET 1 DESCRIPTION FB", &request), 0);
    assert_int_equal(request.target, SRCP_FB);
    assert_true(request.has_target && !request.has_address);
    assert_int_equal(parse("GET 1 DESCRIPTION FB 6", &request), 0);
    assert_true(request.has_target && request.has_address);
    assert_int_equal(request.address, 6);
}

static void free_text_is_kept_as_it_was_sent(void **state) {
    (void)state;
    struct srcp_request request;
    const char *line = "SET 0 GM 7 8 NOTE  mind \t the gap";
    assert_int_equal(srcp_request_parse(srcp_text_of(line), &scope, &request), 0);
    assert_int_equal(request.send_to, 7);
    assert_int_equal(request.reply_to, 8);
    protocol_assert_text(request.type, "NOTE", "type");
    protocol_assert_text(request.text, "mind \t the gap", "text");
    line = "SET 1 POWER OFF by the  stop button";
    assert_int_equal(srcp_request_parse(srcp_text_of(line), &scope, &request), 0);
    assert_false(request.is_on);
    protocol_assert_text(request.text, "by the  stop button", "text");
    line = "SET 1 POWER ON";
    assert_int_equal(srcp_request_parse(srcp_text_of(line), &scope, &request), 0);
    assert_true(request.is_on);
    protocol_assert_text(request.text, "", "text");
}

/* Our decision: what could not be told again whole is refused, not cut. */
static void free_text_too_long_to_be_told_again_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *before;
        size_t longest;
    } cases[] = {
        {"SET 1 POWER OFF ", SRCP_FREE_TEXT_MAX},
        {"CHECK 1 POWER ON ", SRCP_FREE_TEXT_MAX},
        {"SET 0 GM 2147483647 2147483647 N ", SRCP_FREE_TEXT_MAX - 2},
        {"SET 0 GM 1 1 ", SRCP_FREE_TEXT_MAX},
        {"INIT 1 FB 1 P ", SRCP_FREE_TEXT_MAX},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (size_t length = cases[i].longest; length <= cases[i].longest + 1; length++) {
            char line[SRCP_LINE_MAX];
            snprintf(line, sizeof line, "%s%0*d", cases[i].before, (int)length, 0);
            assert_int_equal(code_of(line),
                             length <= cases[i].longest ? SRCP_NO_FAULT : SRCP_LIST_TOO_LONG);
        }
    }
}

static bool is_parse_code(enum srcp_code code) {
    return code == SRCP_NO_FAULT || code == SRCP_UNKNOWN_COMMAND || code == SRCP_WRONG_VALUE ||
           (code >= SRCP_LIST_TOO_LONG && code <= SRCP_UNSUPPORTED_OPERATION) ||
           code == SRCP_NOT_SUPPORTED;
}

/* Whatever the line: one of the parser's codes, and fields within what request.h says. */
static void check_any(const char *line) {
    struct srcp_request request;
    const enum srcp_code code = parse(line, &request);
    if (!is_parse_code(code) || (code == SRCP_NO_FAULT && request.value_fault != SRCP_NO_FAULT &&
                                 request.value_fault != SRCP_WRONG_VALUE &&
                                 request.value_fault != SRCP_UNSUPPORTED_DEVICE_PROTOCOL)) {
        fail_msg("\"%s\": %d, %d", line, (int)code, (int)request.value_fault);
    }
    if (code == SRCP_NO_FAULT) {
        assert_true(request.command < SRCP_COMMANDS && request.group < SRCP_GROUPS);
        assert_true(request.port >= 0 && request.delay_ms >= -1 && request.timeout_s >= 0);
        assert_true(request.duration_s >= 0 && request.session >= 0);
        assert_true(request.send_to >= 0 && request.reply_to >= 0);
        assert_true(request.time.day >= 0 && request.time.day <= SRCP_DAY_MAX);
        assert_true(request.time.fx >= 0 && request.time.fx <= SRCP_TIME_RATE_MAX);
    }
}

static void all_short_lines_of_few_words_are_answered(void **state) {
    (void)state;
    static const char *const heads[] = {"GET",  "SET",   "CHECK",  "WAIT", "INIT",
                                        "TERM", "RESET", "VERIFY", "NONE"};
    static const char *const groups[] = {"GL",     "GA",          "FB",   "SM",
                                         "POWER",  "LOCK",        "TIME", "SESSION",
                                         "SERVER", "DESCRIPTION", "GM",   "NONE"};
    static const char *const words[] = {"", "0", "-1", "P", "ON", "GA", "99999999999"};
    enum { HEADS = 9, GROUPS = 12, WORDS = 7 };
    for (unsigned h = 0; h < HEADS * 3 * GROUPS; h++) {
        for (unsigned w = 0; w < WORDS * WORDS * WORDS * WORDS; w++) {
            char line[200];
            snprintf(line, sizeof line, "%s %u %s %s %s %s %s", heads[h % HEADS], h / HEADS % 3,
                     groups[h / HEADS / 3], words[w % WORDS], words[w / WORDS % WORDS],
                     words[w / WORDS / WORDS % WORDS], words[w / WORDS / WORDS / WORDS]);
            check_any(line);
        }
    }
}

static void random_lines_are_answered(void **state) {
    (void)state;
    static const char *const words[] = {"GET", "SET",  "WAIT", "CHECK", "INIT",      "0",
                                        "1",   "3",    "GA",   "FB",    "POWER",     "LOCK",
                                        "GM",  "TIME", "TERM", "-1",    "2147483648"};
    uint32_t seed = 19931;
    for (unsigned round = 0; round < 100000; round++) {
        char line[1000];
        size_t length = 0;
        const size_t wanted = protocol_random(&seed) % (round % 16 == 0 ? 900 : 60);
        while (length < wanted) {
            const uint32_t dice = protocol_random(&seed);
            if (dice % 4 == 0) {
                line[length++] = (char)(1 + dice / 4 % 255);
            } else {
                length += (size_t)snprintf(line + length, sizeof line - length, "%s ",
                                           words[dice / 4 % (sizeof words / sizeof words[0])]);
            }
        }
        line[length] = '\0';
        check_any(line);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(faults_are_found_in_their_order),
        cmocka_unit_test(value_faults_wait_until_the_address_is_known),
        cmocka_unit_test(every_command_of_every_group_is_taken_or_refused),
        cmocka_unit_test(groups_that_are_not_on_the_bus_are_unsupported),
        cmocka_unit_test(only_groups_with_locks_can_be_locked),
        cmocka_unit_test(heads_that_break_off_or_are_wrong_are_told),
        cmocka_unit_test(a_negative_bus_is_never_there),
        cmocka_unit_test(words_are_counted),
        cmocka_unit_test(addresses_that_are_no_numbers_are_unsupported_devices),
        cmocka_unit_test(values_are_numbers_in_their_range),
        cmocka_unit_test(accessory_words_arrive_in_their_fields),
        cmocka_unit_test(server_words_arrive_in_their_fields),
        cmocka_unit_test(free_text_is_kept_as_it_was_sent),
        cmocka_unit_test(free_text_too_long_to_be_told_again_is_refused),
        cmocka_unit_test(all_short_lines_of_few_words_are_answered),
        cmocka_unit_test(random_lines_are_answered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

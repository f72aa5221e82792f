/* The client's reader of a server's lines: what it finds lies within the line. */
#include "fuzz/fuzz.h"
#include "protocol/client.h"
#include "protocol/line.h"

static void check_within(struct srcp_text inner, struct srcp_text outer) {
    FUZZ_HOLDS(inner.length == 0 ||
               (inner.at >= outer.at && inner.at + inner.length <= outer.at + outer.length));
}

static void check(struct srcp_text line) {
    check_within(srcp_welcome_value(line, "SRCP"), line);
    struct srcp_answer answer;
    if (!srcp_answer_parse(line, &answer)) {
        return;
    }
    FUZZ_HOLDS(answer.code >= 100 && answer.code <= 599);
    check_within(answer.time, line);
    check_within(answer.words, line);
    if (answer.has_group) {
        check_within(answer.rest, answer.words);
    }
    FUZZ_HOLDS(srcp_answer_session(&answer) >= 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_text chunk = {(const char *)data, size};
    struct srcp_text line;
    enum srcp_line_kind kind;
    while ((kind = srcp_line_next(&reader, &chunk, &line)) != SRCP_LINE_NONE) {
        if (kind == SRCP_LINE_TEXT) {
            check(line);
        }
    }
    return 0;
}

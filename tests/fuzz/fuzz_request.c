/* The request parser: every line is a request within its limits, or has its code. */
#include "fuzz/fuzz.h"
#include "protocol/line.h"
#include "protocol/request.h"

#include <string.h>

static const struct srcp_bus buses[] = {
    {.bus = 0,
     .groups = 1u << SRCP_DESCRIPTION | 1u << SRCP_SERVER | 1u << SRCP_SESSION | 1u << SRCP_TIME |
               1u << SRCP_GM},
    {.bus = 1,
     .groups = 1u << SRCP_DESCRIPTION | 1u << SRCP_GA | 1u << SRCP_FB | 1u << SRCP_POWER |
               1u << SRCP_LOCK,
     .lockable = 1u << SRCP_GA},
};

static const struct srcp_scope scope = {.bus = buses, .buses = 2};

static bool is_within(struct srcp_text inner, struct srcp_text outer) {
    return inner.length == 0 ||
           (inner.at >= outer.at && inner.at + inner.length <= outer.at + outer.length);
}

static void check(struct srcp_text line) {
    struct srcp_request request;
    enum srcp_code code = srcp_request_parse(line, &scope, &request);
    if (code != SRCP_NO_FAULT) {
        FUZZ_HOLDS(srcp_code_text(code) != NULL);
        return;
    }
    FUZZ_HOLDS(request.bus <= 1 && (buses[request.bus].groups & 1u << request.group) != 0);
    FUZZ_HOLDS(request.delay_ms >= -1 && request.timeout_s >= 0 && request.duration_s >= 0);
    FUZZ_HOLDS(request.time.hour >= 0 && request.time.hour < 24);
    FUZZ_HOLDS(request.time.minute >= 0 && request.time.minute < 60);
    FUZZ_HOLDS(request.time.second >= 0 && request.time.second < 60);
    FUZZ_HOLDS(is_within(request.text, line) && is_within(request.type, line));
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

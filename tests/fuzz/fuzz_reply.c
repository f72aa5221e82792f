/* The server's lines: no free text makes two lines of one, or a line too long. */
#include "fuzz/fuzz.h"
#include "protocol/reply.h"

static void check(const char *line, size_t length) {
    FUZZ_HOLDS(length > 0 && length <= SRCP_LINE_MAX);
    FUZZ_HOLDS(line[length] == '\0' && line[length - 1] == '\n');
    for (size_t i = 0; i < length - 1; i++) {
        FUZZ_HOLDS(line[i] >= ' ' && line[i] <= '~');
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char line[SRCP_REPLY_SIZE];
    struct srcp_text text = {(const char *)data, size};
    struct srcp_text half = {(const char *)data, size / 2};
    uint64_t time_us = size > 0 ? UINT64_MAX >> data[0] % 64 : 0;
    int32_t number = (int32_t)(uint32_t)(time_us * 2654435761u);
    check(line, srcp_info_gm(line, time_us, number, -number / 2, half, text));
    check(line, srcp_info_power(line, time_us, (unsigned)number, true, text));
    check(line, srcp_info_device(line, time_us, 1, SRCP_GA, number, text));
    check(line, srcp_info_ga(line, time_us, 255, number, number, number));
    return 0;
}

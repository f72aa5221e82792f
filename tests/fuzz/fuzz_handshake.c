/* The handshake: each line gets a code that has a text, and GO gets its session. */
#include "fuzz/fuzz.h"
#include "protocol/handshake.h"
#include "protocol/line.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_handshake handshake = {.mode = SRCP_COMMAND_MODE};
    struct srcp_text chunk = {(const char *)data, size};
    struct srcp_text line;
    enum srcp_line_kind kind;
    while ((kind = srcp_line_next(&reader, &chunk, &line)) != SRCP_LINE_NONE) {
        if (kind != SRCP_LINE_TEXT) {
            continue;
        }
        enum srcp_code code = SRCP_NO_FAULT;
        enum srcp_handshake_next next = srcp_handshake_step(&handshake, line, &code);
        FUZZ_HOLDS(handshake.mode == SRCP_COMMAND_MODE || handshake.mode == SRCP_INFO_MODE);
        switch (next) {
        case SRCP_HANDSHAKE_STAYS:
            FUZZ_HOLDS(srcp_code_text(code) != NULL);
            break;
        case SRCP_HANDSHAKE_GOES:
            FUZZ_HOLDS(srcp_text_is(line, "GO"));
            return 0;
        case SRCP_HANDSHAKE_ENDS:
            FUZZ_HOLDS(code == SRCP_DONE);
            return 0;
        }
    }
    return 0;
}

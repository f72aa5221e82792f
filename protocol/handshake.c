#include "protocol/handshake.h"

#include <stdbool.h>
#include <stddef.h>

static const char *const versions[] = {"0.8.4", "0.8.3", "0.8"};

static bool is_spoken(struct srcp_text version) {
    for (size_t i = 0; i < sizeof versions / sizeof versions[0]; i++) {
        if (srcp_text_is(version, versions[i])) {
            return true;
        }
    }
    return false;
}

static enum srcp_code set_protocol(struct srcp_text name, struct srcp_text version) {
    if (name.length == 0) {
        return SRCP_INSUFFICIENT_DATA;
    }
    if (!srcp_text_is(name, "SRCP")) {
        return SRCP_UNSUPPORTED_PROTOCOL;
    }
    if (version.length == 0) {
        return SRCP_INSUFFICIENT_DATA;
    }
    return is_spoken(version) ? SRCP_PROTOCOL_SET : SRCP_UNSUPPORTED_PROTOCOL;
}

static enum srcp_code set_mode(struct srcp_handshake *handshake, struct srcp_text name,
                               struct srcp_text mode) {
    if (name.length == 0) {
        return SRCP_INSUFFICIENT_DATA;
    }
    if (!srcp_text_is(name, "SRCP")) {
        return SRCP_UNSUPPORTED_MODE;
    }
    if (mode.length == 0) {
        return SRCP_INSUFFICIENT_DATA;
    }
    return srcp_mode_named(mode, &handshake->mode) ? SRCP_MODE_SET : SRCP_UNSUPPORTED_MODE;
}

static enum srcp_code set(struct srcp_handshake *handshake, struct srcp_text rest) {
    const struct srcp_text what = srcp_text_word(&rest);
    const struct srcp_text name = srcp_text_word(&rest);
    const struct srcp_text value = srcp_text_word(&rest);
    if (rest.length > 0) {
        return SRCP_UNKNOWN_COMMAND;
    }
    if (what.length == 0) {
        return SRCP_INSUFFICIENT_DATA;
    }
    if (srcp_text_is(what, "PROTOCOL")) {
        return set_protocol(name, value);
    }
    if (srcp_text_is(what, "CONNECTIONMODE")) {
        return set_mode(handshake, name, value);
    }
    return SRCP_UNKNOWN_COMMAND;
}

/* SRCP_DONE for the whole of `TERM 0 SESSION`. */
static enum srcp_code term(struct srcp_text rest) {
    static const char *const words[] = {"0", "SESSION"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        const struct srcp_text word = srcp_text_word(&rest);
        if (word.length == 0) {
            return SRCP_INSUFFICIENT_DATA;
        }
        if (!srcp_text_is(word, words[i])) {
            return SRCP_UNKNOWN_COMMAND;
        }
    }
    return rest.length == 0 ? SRCP_DONE : SRCP_UNKNOWN_COMMAND;
}

enum srcp_handshake_next srcp_handshake_step(struct srcp_handshake *handshake,
                                             struct srcp_text line, enum srcp_code *code) {
    const struct srcp_text first = srcp_text_word(&line);
    if (srcp_text_is(first, "GO") && line.length == 0) {
        *code = SRCP_DONE;
        return SRCP_HANDSHAKE_GOES;
    }
    if (srcp_text_is(first, "TERM")) {
        *code = term(line);
        return *code == SRCP_DONE ? SRCP_HANDSHAKE_ENDS : SRCP_HANDSHAKE_STAYS;
    }
    *code = srcp_text_is(first, "SET") ? set(handshake, line) : SRCP_UNKNOWN_COMMAND;
    return SRCP_HANDSHAKE_STAYS;
}

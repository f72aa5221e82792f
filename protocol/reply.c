#include "protocol/reply.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>

/* For "%.*s": a length that fits, and never a null pointer. */
#define TEXT(text)                                                                                 \
    (int)((text).length < SRCP_LINE_MAX ? (text).length : SRCP_LINE_MAX),                          \
        (text).at == NULL ? "" : (text).at

/* Replaces what may not stand in a line; returns the new length. */
static size_t clean(char *out, size_t length) {
    size_t kept = 0;
    for (size_t i = 0; i < length; i++) {
        const unsigned char byte = (unsigned char)out[i];
        if (byte >= 0x80 && byte <= 0xBF) {
            continue; /* the rest of a UTF-8 character */
        }
        out[kept++] = byte >= ' ' && byte <= '~' ? out[i] : '?';
    }
    return kept;
}

/* Cuts, cleans and ends the line that has `length` bytes, of which no more than SRCP_LINE_MAX - 1
 * were written. */
static size_t finish(char *out, int length) {
    size_t written = length < 0 ? 0 : (size_t)length;
    if (written > SRCP_LINE_MAX - 1) {
        written = SRCP_LINE_MAX - 1;
    }
    written = clean(out, written);
    out[written++] = '\n';
    out[written] = '\0';
    return written;
}

/* `<time> <code> INFO <words>` */
__attribute__((format(printf, 4, 5))) static size_t
info(char *out, uint64_t time_us, enum srcp_code code, const char *format, ...) {
    const int head = snprintf(out, SRCP_LINE_MAX, "%" PRIu64 ".%03u %d %s ", time_us / 1000000,
                              (unsigned)(time_us / 1000 % 1000), (int)code, srcp_code_text(code));
    va_list words;
    va_start(words, format);
    const int tail = vsnprintf(out + head, (size_t)(SRCP_LINE_MAX - head), format, words);
    va_end(words);
    return finish(out, head + tail);
}

size_t srcp_welcome(char *out, const char *version) {
    return finish(
        out, snprintf(out, SRCP_LINE_MAX, "drawtender %s; SRCP 0.8.4; SRCPOTHER 0.8.3", version));
}

size_t srcp_reply(char *out, uint64_t time_us, enum srcp_code code) {
    if (code < SRCP_DONE || srcp_code_text(code) == NULL) {
        code = SRCP_UNSPECIFIED_ERROR;
    }
    return finish(out,
                  snprintf(out, SRCP_LINE_MAX, "%" PRIu64 ".%03u %d %s", time_us / 1000000,
                           (unsigned)(time_us / 1000 % 1000), (int)code, srcp_code_text(code)));
}

size_t srcp_reply_go(char *out, uint64_t time_us, int32_t session) {
    return finish(out, snprintf(out, SRCP_LINE_MAX, "%" PRIu64 ".%03u %d OK GO %" PRId32,
                                time_us / 1000000, (unsigned)(time_us / 1000 % 1000),
                                (int)SRCP_DONE, session));
}

size_t srcp_info_description(char *out, uint64_t time_us, unsigned bus, unsigned groups) {
    char names[128];
    int length = 0;
    names[0] = '\0';
    for (unsigned group = 0; group < SRCP_GROUPS; group++) {
        if ((groups & 1u << group) != 0 && length < (int)sizeof names) {
            length += snprintf(names + length, sizeof names - (size_t)length, " %s",
                               srcp_group_name((enum srcp_group)group));
        }
    }
    return info(out, time_us, SRCP_INFO, "%u DESCRIPTION%s", bus, names);
}

size_t srcp_info_device(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                        int32_t address, struct srcp_text words) {
    return info(out, time_us, SRCP_INFO_INIT, "%u %s %" PRId32 " P%s%.*s", bus,
                srcp_group_name(group), address, words.length > 0 ? " " : "", TEXT(words));
}

size_t srcp_info_device_gone(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                             int32_t address) {
    return info(out, time_us, SRCP_INFO_TERM, "%u %s %" PRId32, bus, srcp_group_name(group),
                address);
}

size_t srcp_info_ga(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t port,
                    int32_t value) {
    return info(out, time_us, SRCP_INFO, "%u GA %" PRId32 " %" PRId32 " %" PRId32, bus, address,
                port, value);
}

size_t srcp_info_fb(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t value) {
    return info(out, time_us, SRCP_INFO, "%u FB %" PRId32 " %" PRId32, bus, address, value);
}

size_t srcp_info_power_device(char *out, uint64_t time_us, unsigned bus) {
    return info(out, time_us, SRCP_INFO_INIT, "%u POWER", bus);
}

size_t srcp_info_power(char *out, uint64_t time_us, unsigned bus, bool is_on,
                       struct srcp_text text) {
    return info(out, time_us, SRCP_INFO, "%u POWER %s%s%.*s", bus, is_on ? "ON" : "OFF",
                text.length > 0 ? " " : "", TEXT(text));
}

size_t srcp_info_power_gone(char *out, uint64_t time_us, unsigned bus) {
    return info(out, time_us, SRCP_INFO_TERM, "%u POWER", bus);
}

size_t srcp_info_lock(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                      int32_t address, int32_t duration_s, int32_t session) {
    return info(out, time_us, SRCP_INFO, "%u LOCK %s %" PRId32 " %" PRId32 " %" PRId32, bus,
                srcp_group_name(group), address, duration_s, session);
}

size_t srcp_info_lock_ended(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                            int32_t address) {
    return info(out, time_us, SRCP_INFO_TERM, "%u LOCK %s %" PRId32, bus, srcp_group_name(group),
                address);
}

size_t srcp_info_time_rate(char *out, uint64_t time_us, int32_t fx, int32_t fy) {
    return info(out, time_us, SRCP_INFO_INIT, "0 TIME %" PRId32 " %" PRId32, fx, fy);
}

size_t srcp_info_time(char *out, uint64_t time_us, int32_t day, int32_t hour, int32_t minute,
                      int32_t second) {
    return info(out, time_us, SRCP_INFO, "0 TIME %" PRId32 " %" PRId32 " %" PRId32 " %" PRId32, day,
                hour, minute, second);
}

size_t srcp_info_time_ended(char *out, uint64_t time_us) {
    return info(out, time_us, SRCP_INFO_TERM, "0 TIME");
}

size_t srcp_info_session_begun(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode) {
    return info(out, time_us, SRCP_INFO_INIT, "0 SESSION %" PRId32 " %s", session,
                srcp_mode_name(mode));
}

size_t srcp_info_session(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode) {
    return info(out, time_us, SRCP_INFO, "0 SESSION %" PRId32 " %s", session, srcp_mode_name(mode));
}

size_t srcp_info_session_ended(char *out, uint64_t time_us, int32_t session) {
    return info(out, time_us, SRCP_INFO_TERM, "0 SESSION %" PRId32, session);
}

size_t srcp_info_server(char *out, uint64_t time_us, enum srcp_server_state state) {
    static const char *const names[SRCP_SERVER_STATES] = {
        [SRCP_RUNNING] = "RUNNING",
        [SRCP_RESETTING] = "RESETTING",
        [SRCP_TERMINATING] = "TERMINATING",
    };
    return info(out, time_us, SRCP_INFO, "0 SERVER %s", names[state]);
}

size_t srcp_info_gm(char *out, uint64_t time_us, int32_t send_to, int32_t reply_to,
                    struct srcp_text type, struct srcp_text text) {
    return info(out, time_us, SRCP_INFO, "0 GM %" PRId32 " %" PRId32 " %.*s%s%.*s", send_to,
                reply_to, TEXT(type), text.length > 0 ? " " : "", TEXT(text));
}

#include "protocol/reply.h"

#include <string.h>

/* printf() would be half of the time that an answer takes. */
struct writer {
    char *out;
    size_t length;
};

/* What does not fit is cut: room is left for the end. */
static void put(struct writer *writer, const char *at, size_t length) {
    const size_t room = SRCP_LINE_MAX - 1 - writer->length;
    if (length > room) {
        length = room;
    }
    memcpy(writer->out + writer->length, at, length);
    writer->length += length;
}

static void put_string(struct writer *writer, const char *string) {
    put(writer, string, strlen(string));
}

/* At least `digits` of them. */
static void put_digits(struct writer *writer, uint64_t number, unsigned digits) {
    char text[20];
    size_t first = sizeof text;
    while (number > 0 || sizeof text - first < digits) {
        text[--first] = (char)('0' + number % 10);
        number /= 10;
    }
    put(writer, text + first, sizeof text - first);
}

static void put_number(struct writer *writer, int64_t number) {
    put(writer, " -", number < 0 ? 2 : 1);
    put_digits(writer, (uint64_t)(number < 0 ? -number : number), 1);
}

static void put_word(struct writer *writer, const char *word) {
    put(writer, " ", 1);
    put_string(writer, word);
}

/* Free text, without what may not stand in a line; nothing if there is none. */
static void put_text(struct writer *writer, struct srcp_text text) {
    if (text.length == 0) {
        return;
    }
    put(writer, " ", 1);
    for (size_t i = 0; i < text.length && writer->length < SRCP_LINE_MAX - 1; i++) {
        const unsigned char byte = (unsigned char)text.at[i];
        if (byte >= 0x80 && byte <= 0xBF) {
            continue; /* the rest of a UTF-8 character */
        }
        writer->out[writer->length++] = byte >= ' ' && byte <= '~' ? text.at[i] : '?';
    }
}

static size_t finish(struct writer *writer) {
    writer->out[writer->length++] = '\n';
    writer->out[writer->length] = '\0';
    return writer->length;
}

/* `<time> <code> <text>` */
static struct writer begin(char *out, uint64_t time_us, enum srcp_code code) {
    struct writer writer = {.out = out};
    put_digits(&writer, time_us / 1000000, 1);
    put(&writer, ".", 1);
    put_digits(&writer, time_us / 1000 % 1000, 3);
    put_number(&writer, code);
    put_word(&writer, srcp_code_text(code));
    return writer;
}

/* `<time> <code> INFO <bus> <group>` */
static struct writer info(char *out, uint64_t time_us, enum srcp_code code, unsigned bus,
                          const char *group) {
    struct writer writer = begin(out, time_us, code);
    put_number(&writer, bus);
    put_word(&writer, group);
    return writer;
}

/* The same with so many numbers behind. */
static size_t info_numbers(char *out, uint64_t time_us, enum srcp_code code, unsigned bus,
                           const char *group, const int32_t *numbers, size_t count) {
    struct writer writer = info(out, time_us, code, bus, group);
    for (size_t i = 0; i < count; i++) {
        put_number(&writer, numbers[i]);
    }
    return finish(&writer);
}

#define INFO(out, time_us, code, bus, group, ...)                                                  \
    info_numbers(out, time_us, code, bus, group, (const int32_t[]){__VA_ARGS__},                   \
                 sizeof((const int32_t[]){__VA_ARGS__}) / sizeof(int32_t))

size_t srcp_welcome(char *out, const char *version) {
    struct writer writer = {.out = out};
    put_string(&writer, "drawtender");
    put_text(&writer, srcp_text_of(version));
    put_string(&writer, "; SRCP 0.8.4; SRCPOTHER 0.8.3");
    return finish(&writer);
}

size_t srcp_reply(char *out, uint64_t time_us, enum srcp_code code) {
    if (code < SRCP_DONE || srcp_code_text(code) == NULL) {
        code = SRCP_UNSPECIFIED_ERROR;
    }
    struct writer writer = begin(out, time_us, code);
    return finish(&writer);
}

size_t srcp_reply_go(char *out, uint64_t time_us, int32_t session) {
    struct writer writer = begin(out, time_us, SRCP_DONE);
    put_word(&writer, "GO");
    put_number(&writer, session);
    return finish(&writer);
}

size_t srcp_info_description(char *out, uint64_t time_us, unsigned bus, unsigned groups) {
    struct writer writer = info(out, time_us, SRCP_INFO, bus, "DESCRIPTION");
    for (unsigned group = 0; group < SRCP_GROUPS; group++) {
        if ((groups & 1u << group) != 0) {
            put_word(&writer, srcp_group_name((enum srcp_group)group));
        }
    }
    return finish(&writer);
}

size_t srcp_info_device(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                        int32_t address, struct srcp_text words) {
    struct writer writer = info(out, time_us, SRCP_INFO_INIT, bus, srcp_group_name(group));
    put_number(&writer, address);
    put_word(&writer, "P");
    put_text(&writer, words);
    return finish(&writer);
}

size_t srcp_info_ga(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t port,
                    int32_t value) {
    return INFO(out, time_us, SRCP_INFO, bus, "GA", address, port, value);
}

size_t srcp_info_fb(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t value) {
    return INFO(out, time_us, SRCP_INFO, bus, "FB", address, value);
}

size_t srcp_info_power_device(char *out, uint64_t time_us, unsigned bus) {
    struct writer writer = info(out, time_us, SRCP_INFO_INIT, bus, "POWER");
    return finish(&writer);
}

size_t srcp_info_power(char *out, uint64_t time_us, unsigned bus, bool is_on,
                       struct srcp_text text) {
    struct writer writer = info(out, time_us, SRCP_INFO, bus, "POWER");
    put_word(&writer, is_on ? "ON" : "OFF");
    put_text(&writer, text);
    return finish(&writer);
}

static struct writer info_lock(char *out, uint64_t time_us, enum srcp_code code, unsigned bus,
                               enum srcp_group group, int32_t address) {
    struct writer writer = info(out, time_us, code, bus, "LOCK");
    put_word(&writer, srcp_group_name(group));
    put_number(&writer, address);
    return writer;
}

size_t srcp_info_lock(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                      int32_t address, int32_t duration_s, int32_t session) {
    struct writer writer = info_lock(out, time_us, SRCP_INFO, bus, group, address);
    put_number(&writer, duration_s);
    put_number(&writer, session);
    return finish(&writer);
}

size_t srcp_info_lock_ended(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                            int32_t address) {
    struct writer writer = info_lock(out, time_us, SRCP_INFO_TERM, bus, group, address);
    return finish(&writer);
}

size_t srcp_info_time_rate(char *out, uint64_t time_us, int32_t fx, int32_t fy) {
    return INFO(out, time_us, SRCP_INFO_INIT, 0, "TIME", fx, fy);
}

size_t srcp_info_time(char *out, uint64_t time_us, int32_t day, int32_t hour, int32_t minute,
                      int32_t second) {
    return INFO(out, time_us, SRCP_INFO, 0, "TIME", day, hour, minute, second);
}

size_t srcp_info_time_ended(char *out, uint64_t time_us) {
    struct writer writer = info(out, time_us, SRCP_INFO_TERM, 0, "TIME");
    return finish(&writer);
}

static size_t info_session(char *out, uint64_t time_us, enum srcp_code code, int32_t session,
                           enum srcp_mode mode) {
    struct writer writer = info(out, time_us, code, 0, "SESSION");
    put_number(&writer, session);
    put_word(&writer, srcp_mode_name(mode));
    return finish(&writer);
}

size_t srcp_info_session_begun(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode) {
    return info_session(out, time_us, SRCP_INFO_INIT, session, mode);
}

size_t srcp_info_session(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode) {
    return info_session(out, time_us, SRCP_INFO, session, mode);
}

size_t srcp_info_session_ended(char *out, uint64_t time_us, int32_t session) {
    return INFO(out, time_us, SRCP_INFO_TERM, 0, "SESSION", session);
}

size_t srcp_info_server(char *out, uint64_t time_us, enum srcp_server_state state) {
    static const char *const names[SRCP_SERVER_STATES] = {
        [SRCP_RUNNING] = "RUNNING",
        [SRCP_RESETTING] = "RESETTING",
        [SRCP_TERMINATING] = "TERMINATING",
    };
    struct writer writer = info(out, time_us, SRCP_INFO, 0, "SERVER");
    put_word(&writer, names[state]);
    return finish(&writer);
}

size_t srcp_info_gm(char *out, uint64_t time_us, int32_t send_to, int32_t reply_to,
                    struct srcp_text type, struct srcp_text text) {
    struct writer writer = info(out, time_us, SRCP_INFO, 0, "GM");
    put_number(&writer, send_to);
    put_number(&writer, reply_to);
    put_text(&writer, type);
    put_text(&writer, text);
    return finish(&writer);
}

#include "protocol/client.h"

#include <stddef.h>
#include <string.h>

/* Beyond any clock; in microseconds it fits into 64 bits. */
static const uint64_t SECONDS_MAX = 9999999999999;

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* `<seconds>.<fraction>`, both with at least one digit. */
static bool take_time(struct srcp_text word, uint64_t *time_us) {
    uint64_t seconds = 0;
    size_t i = 0;
    for (; i < word.length && is_digit(word.at[i]); i++) {
        seconds = seconds * 10 + (uint64_t)(word.at[i] - '0');
        if (seconds > SECONDS_MAX) {
            return false;
        }
    }
    if (i == 0 || i + 1 >= word.length || word.at[i] != '.') {
        return false;
    }
    uint64_t fraction_us = 0;
    uint64_t unit_us = 100000;
    for (i++; i < word.length; i++) {
        if (!is_digit(word.at[i])) {
            return false;
        }
        fraction_us += unit_us * (uint64_t)(word.at[i] - '0');
        unit_us /= 10;
    }
    *time_us = seconds * 1000000 + fraction_us;
    return true;
}

static bool take_kind(struct srcp_text word, enum srcp_answer_kind *kind) {
    static const char *const names[] = {
        [SRCP_ANSWER_INFO] = "INFO",
        [SRCP_ANSWER_OK] = "OK",
        [SRCP_ANSWER_ERROR] = "ERROR",
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (srcp_text_is(word, names[i])) {
            *kind = (enum srcp_answer_kind)i;
            return true;
        }
    }
    return false;
}

static void take_group(struct srcp_answer *answer) {
    struct srcp_text rest = answer->words;
    int32_t bus;
    if (!srcp_text_number(srcp_text_word(&rest), &bus) || bus < 0 ||
        !srcp_group_named(srcp_text_word(&rest), &answer->group)) {
        return;
    }
    answer->has_group = true;
    answer->bus = (unsigned)bus;
    answer->rest = rest;
}

bool srcp_answer_parse(struct srcp_text line, struct srcp_answer *answer) {
    struct srcp_answer found;
    memset(&found, 0, sizeof found);
    struct srcp_text rest = srcp_text_trim(line);
    found.time = srcp_text_word(&rest);
    if (!take_time(found.time, &found.time_us) ||
        !srcp_text_number(srcp_text_word(&rest), &found.code) || found.code < 100 ||
        found.code > 599 || !take_kind(srcp_text_word(&rest), &found.kind)) {
        return false;
    }
    found.words = rest;
    if (found.kind == SRCP_ANSWER_INFO) {
        take_group(&found);
    }
    *answer = found;
    return true;
}

int32_t srcp_answer_session(const struct srcp_answer *answer) {
    struct srcp_text rest = answer->words;
    int32_t session;
    if (answer->kind != SRCP_ANSWER_OK || !srcp_text_is(srcp_text_word(&rest), "GO") ||
        !srcp_text_number(rest, &session) || session < 1) {
        return 0;
    }
    return session;
}

struct srcp_text srcp_welcome_value(struct srcp_text line, const char *key) {
    while (line.length > 0) {
        const char *end = memchr(line.at, ';', line.length);
        const size_t length = end == NULL ? line.length : (size_t)(end - line.at);
        struct srcp_text value = srcp_text_trim((struct srcp_text){line.at, length});
        if (srcp_text_is(srcp_text_word(&value), key)) {
            return value;
        }
        const size_t taken = end == NULL ? length : length + 1;
        line.at += taken;
        line.length -= taken;
    }
    return (struct srcp_text){NULL, 0};
}

#include "protocol/text.h"

#include <string.h>

static bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

struct srcp_text srcp_text_of(const char *string) {
    return (struct srcp_text){string, strlen(string)};
}

bool srcp_text_is(struct srcp_text text, const char *string) {
    const size_t length = strlen(string);
    return text.length == length && (length == 0 || memcmp(text.at, string, length) == 0);
}

static struct srcp_text without_leading_blanks(struct srcp_text text) {
    while (text.length > 0 && is_blank(text.at[0])) {
        text.at++;
        text.length--;
    }
    return text;
}

struct srcp_text srcp_text_trim(struct srcp_text text) {
    while (text.length > 0 && is_blank(text.at[text.length - 1])) {
        text.length--;
    }
    return without_leading_blanks(text);
}

struct srcp_text srcp_text_word(struct srcp_text *rest) {
    *rest = without_leading_blanks(*rest);
    struct srcp_text word = {rest->at, 0};
    while (word.length < rest->length && !is_blank(rest->at[word.length])) {
        word.length++;
    }
    if (word.length > 0) {
        rest->at += word.length;
        rest->length -= word.length;
        *rest = without_leading_blanks(*rest);
    }
    return word;
}

unsigned srcp_text_words(struct srcp_text text) {
    unsigned words = 0;
    while (srcp_text_word(&text).length > 0) {
        words++;
    }
    return words;
}

bool srcp_text_number(struct srcp_text text, int32_t *number) {
    const bool is_negative = text.length > 0 && text.at[0] == '-';
    if (text.length == (is_negative ? 1 : 0)) {
        return false;
    }
    int64_t value = 0;
    for (size_t i = is_negative ? 1 : 0; i < text.length; i++) {
        if (text.at[i] < '0' || text.at[i] > '9') {
            return false;
        }
        value = value * 10 + (is_negative ? '0' - text.at[i] : text.at[i] - '0');
        if (value < INT32_MIN || value > INT32_MAX) {
            return false;
        }
    }
    *number = (int32_t)value;
    return true;
}

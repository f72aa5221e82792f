#include "protocol/lcc/identification.h"

#include <stddef.h>
#include <string.h>

enum { WORDS = 6, WORDS_MADE = 4, MADE_WORDS_FOLLOW = 4, NAMED_WORDS_FOLLOW = 2 };

/* Where a word lies, and how long it may be. */
struct word {
    size_t offset;
    unsigned size;
};

static const struct word words[WORDS] = {
    {offsetof(struct lcc_identification, manufacturer), LCC_MANUFACTURER_SIZE},
    {offsetof(struct lcc_identification, model), LCC_MODEL_SIZE},
    {offsetof(struct lcc_identification, hardware), LCC_HARDWARE_SIZE},
    {offsetof(struct lcc_identification, software), LCC_SOFTWARE_SIZE},
    {offsetof(struct lcc_identification, name), LCC_NAME_SIZE},
    {offsetof(struct lcc_identification, description), LCC_DESCRIPTION_SIZE},
};

static bool is_inner_byte(char c) {
    return ((unsigned char)c & 0xC0) == 0x80; /* of a UTF-8 character, not its first */
}

void lcc_identification_set(char *field, unsigned size, const char *text) {
    size_t length = strlen(text);
    if (length >= size) {
        length = size - 1;
        while (length > 0 && is_inner_byte(text[length])) {
            length--;
        }
    }
    memset(field, 0, size);
    memcpy(field, text, length);
}

unsigned lcc_identification_reply(const struct lcc_identification *identification,
                                  uint8_t content[LCC_IDENTIFICATION_MAX]) {
    unsigned length = 0;
    for (unsigned i = 0; i < WORDS; i++) {
        const char *word = (const char *)identification + words[i].offset;
        if (i == 0 || i == WORDS_MADE) {
            content[length++] = i == 0 ? MADE_WORDS_FOLLOW : NAMED_WORDS_FOLLOW;
        }
        size_t bytes = strnlen(word, words[i].size - 1);
        memcpy(content + length, word, bytes);
        content[length + bytes] = 0;
        length += (unsigned)bytes + 1;
    }
    return length;
}

/* Takes one word. Returns false if its zero is missing. */
static bool take_word(const uint8_t **from, unsigned *left, char *field, unsigned size) {
    const uint8_t *zero = *left == 0 ? NULL : memchr(*from, 0, *left);
    if (zero == NULL) {
        return false;
    }
    lcc_identification_set(field, size, (const char *)*from);
    *left -= (unsigned)(zero - *from) + 1;
    *from = zero + 1;
    return true;
}

/* Takes the byte before words; 1 may stand for `count` (S). */
static bool take_count(const uint8_t **from, unsigned *left, unsigned count) {
    bool is_right = *left > 0 && (**from == count || **from == 1);
    if (is_right) {
        (*from)++;
        (*left)--;
    }
    return is_right;
}

bool lcc_identification_read(const uint8_t *content, unsigned length,
                             struct lcc_identification *identification) {
    *identification = (struct lcc_identification){0};
    for (unsigned i = 0; i < WORDS; i++) {
        char *field = (char *)identification + words[i].offset;
        if (i == 0 && !take_count(&content, &length, MADE_WORDS_FOLLOW)) {
            return false;
        }
        if (i == WORDS_MADE && !take_count(&content, &length, NAMED_WORDS_FOLLOW)) {
            return false;
        }
        if (!take_word(&content, &length, field, words[i].size)) {
            return false;
        }
    }
    return length == 0;
}

static void lay_out(const struct lcc_identification *identification, unsigned first, unsigned end,
                    uint8_t *space) {
    for (unsigned i = first; i < end; i++) {
        const char *word = (const char *)identification + words[i].offset;
        memset(space, 0, words[i].size);
        memcpy(space, word, strnlen(word, words[i].size - 1));
        space += words[i].size;
    }
}

void lcc_identification_made(const struct lcc_identification *identification,
                             uint8_t space[LCC_MADE_BYTES]) {
    space[0] = MADE_WORDS_FOLLOW;
    lay_out(identification, 0, WORDS_MADE, space + 1);
}

void lcc_identification_named(const struct lcc_identification *identification,
                              uint8_t space[LCC_NAMED_BYTES]) {
    space[0] = NAMED_WORDS_FOLLOW;
    lay_out(identification, WORDS_MADE, WORDS, space + 1);
}

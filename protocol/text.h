/* text.h: a piece of a line, and the words and numbers in it.
 * Pure: points into the caller's bytes, copies and owns nothing. */
#ifndef PROTOCOL_TEXT_H
#define PROTOCOL_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* `length` bytes at `at`, without a terminating NUL. At length 0 `at` may be NULL. */
struct srcp_text {
    const char *at;
    size_t length;
};

/* The text of a C string, which must outlive it. */
struct srcp_text srcp_text_of(const char *string);

/* Case matters: words on the wire are in capitals. */
bool srcp_text_is(struct srcp_text text, const char *string);

/* Without blanks and tabs at both ends. */
struct srcp_text srcp_text_trim(struct srcp_text text);

/* Takes the first word off `rest`; words are parted by runs of blanks and tabs. What stays in
 * `rest` begins at the next word. Returns an empty word when there is none left. */
struct srcp_text srcp_text_word(struct srcp_text *rest);

/* How many words `text` has. */
unsigned srcp_text_words(struct srcp_text text);

/* A whole decimal number, with a minus sign or none. Returns false and leaves `number` for anything
 * else, and for numbers beyond int32_t. */
bool srcp_text_number(struct srcp_text text, int32_t *number);

#endif

/* who.h: who asks, as a number that the record can keep: protocol sessions count from 1 up,
 * visitors of the panel from -1 down, and links of LCC from far below them; the bridge's own stand
 * is the last of all. */
#ifndef BASE_WHO_H
#define BASE_WHO_H

#include <stddef.h>
#include <stdint.h>

/* The last that a visitor can be; what is below is a link. */
enum { WHO_VISITOR_LEAST = -1000000000, WHO_STAND = INT32_MIN, WHO_WORDS_SIZE = 24 };

/* "session 7", "panel 3", "LCC 2", "stand"; "" for 0, who is nobody. */
void who_words(int32_t who, char words[WHO_WORDS_SIZE]);

#endif

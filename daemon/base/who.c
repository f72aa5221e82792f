#include "base/who.h"

#include <inttypes.h>
#include <stdio.h>

void who_words(int32_t who, char words[WHO_WORDS_SIZE]) {
    words[0] = '\0';
    if (who > 0) {
        snprintf(words, WHO_WORDS_SIZE, "session %" PRId32, who);
    } else if (who == WHO_STAND) {
        snprintf(words, WHO_WORDS_SIZE, "stand");
    } else if (who < WHO_VISITOR_LEAST) {
        snprintf(words, WHO_WORDS_SIZE, "LCC %" PRId32, WHO_VISITOR_LEAST - who);
    } else if (who < 0) {
        snprintf(words, WHO_WORDS_SIZE, "panel %" PRId32, -who);
    }
}

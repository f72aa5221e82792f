#include "base/text/word.h"

static char carried(char c) {
    if (c == ' ') {
        return '-';
    }
    return (char)(c > ' ' && c <= '~' ? c : '?');
}

void word_of_name(const char *name, char *word, size_t size) {
    size_t length = 0;
    for (; name[length] != '\0' && length < size - 1; length++) {
        word[length] = carried(name[length]);
    }
    word[length] = '\0';
}

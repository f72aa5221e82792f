/* Conditions that sounds and scenes follow, as they are written. */
#include "base/text/near.h"
#include "config/build/build.h"

#include <stdio.h>
#include <string.h>

#define WORD_OF(id, word, help) word,
static const char *const words[CONDITIONS] = {CONDITION_LIST(WORD_OF)};
#undef WORD_OF

/* Returns CONDITIONS and complains if there is none of this name. */
static unsigned find(const struct build *build, const char *place, const char *word) {
    struct near near = near_begin(word);
    for (unsigned i = 0; i < CONDITIONS; i++) {
        if (strcmp(words[i], word) == 0) {
            return i;
        }
        near_offer(&near, words[i]);
    }
    if (near.best != NULL) {
        build_error(build, place, "there is no condition \"%s\" (did you mean \"%s\"?)", word,
                    near.best);
    } else {
        build_error(build, place, "there is no condition \"%s\"", word);
    }
    return CONDITIONS;
}

/* One condition, with or without "not". */
static bool take(const struct build *build, const char *place, const char *word,
                 struct condition_wanted *wanted) {
    static const char NOT[] = "not ";
    bool is_not = strncmp(word, NOT, sizeof NOT - 1) == 0;
    word += is_not ? sizeof NOT - 1 : 0;
    unsigned found = find(build, place, word + strspn(word, " "));
    if (found == CONDITIONS) {
        return false;
    }
    condition_set bit = UINT32_C(1) << found;
    *(is_not ? &wanted->none : &wanted->all) |= bit;
    return (wanted->all & wanted->none) == 0 ||
           build_error(build, place, "can never hold: \"%s\" is wanted and not wanted",
                       words[found]);
}

bool build_condition(const struct build *build, const char *place, const char *written,
                     struct condition_wanted *wanted) {
    *wanted = (struct condition_wanted){0, 0};
    do {
        char word[32];
        written += strspn(written, " ");
        size_t length = strcspn(written, ",");
        const char *rest = written + length + (written[length] == ',');
        while (length > 0 && written[length - 1] == ' ') {
            length--;
        }
        snprintf(word, sizeof word, "%.*s", (int)length, written);
        if (!take(build, place, word, wanted)) {
            return false;
        }
        written = rest;
    } while (*written != '\0');
    return true;
}

#include "tools/manual/form.h"

#include <ctype.h>
#include <string.h>

static bool is_one_of(const char *const list[], const char *word, size_t length) {
    for (size_t i = 0; list[i] != NULL; i++) {
        if (strlen(list[i]) == length && strncmp(list[i], word, length) == 0) {
            return true;
        }
    }
    return false;
}

bool form_is_placeholder(const char *word, size_t length) {
    static const char *const groups[] = {"FB", "GA", NULL};
    for (size_t i = 0; i < length; i++) {
        if (!isupper((unsigned char)word[i])) {
            return false;
        }
    }
    return length > 0 && !is_one_of(groups, word, length);
}

bool form_next(const char **form, struct form_token *token) {
    static const char around[] = " []";
    *token = (struct form_token){0};
    *form += strspn(*form, around);
    size_t length = strcspn(*form, around);
    size_t bare = length;
    if (length == 0) {
        return false;
    }
    while (bare > 0 && (*form)[bare - 1] == '.') {
        bare--;
    }
    token->repeats = bare < length;
    size_t kept = bare < sizeof token->text ? bare : sizeof token->text - 1;
    memcpy(token->text, *form, kept);
    token->is_placeholder = form_is_placeholder(token->text, strcspn(token->text, "|"));
    *form += length;
    return true;
}

bool form_is_file(const char *placeholder) {
    static const char *const files[] = {"FILE", "RECORD", "SAMPLES", "DEVICE", NULL};
    return is_one_of(files, placeholder, strlen(placeholder));
}

bool form_is_folder(const char *placeholder) {
    return strcmp(placeholder, "FOLDER") == 0;
}

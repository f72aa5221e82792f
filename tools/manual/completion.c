#include "tools/manual/completion.h"

#include "daemon/process/options.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/form.h"

#include <string.h>

const struct command_line command_drawtender = {"drawtender", &tool_options_table, true};
const struct command_line command_drawtenderd = {"drawtenderd", &options_table, false};

/* Adds the words of "lined|open" that are not there yet. */
static void add_words(struct completion_choice *choice, const char *words) {
    for (; words[0] != '\0'; words += strspn(words, "|")) {
        char word[64];
        char known[sizeof choice->words + 2];
        size_t length = strcspn(words, "|");
        snprintf(word, sizeof word, " %.*s ", (int)length, words);
        snprintf(known, sizeof known, " %s ", choice->words);
        words += length;
        size_t used = strlen(choice->words);
        if (strstr(known, word) == NULL) {
            word[length + 1] = '\0';
            snprintf(choice->words + used, sizeof choice->words - used, "%s",
                     used > 0 ? word : word + 1);
        }
    }
}

static void add_token(struct completion_choice *choice, const struct form_token *token) {
    if (!token->is_placeholder) {
        add_words(choice, token->text);
    }
    choice->is_file = choice->is_file || form_is_file(token->text);
    choice->is_folder = choice->is_folder || form_is_folder(token->text);
}

struct completion_choice completion_of_option(const struct option_row *row) {
    struct completion_choice choice = {0};
    struct form_token token;
    const char *form = row->argument != NULL ? row->argument : "";
    if (form_next(&form, &token)) {
        add_token(&choice, &token);
    }
    return choice;
}

struct completion_choice completion_of_word(unsigned verb, unsigned index, bool *repeats) {
    struct completion_choice choice = {0};
    *repeats = false;
    for (unsigned i = 0; i < VERB_FORMS && verbs[verb].form[i].what != NULL; i++) {
        const char *form = verbs[verb].form[i].words;
        struct form_token token;
        unsigned at = 0;
        while (form_next(&form, &token) && at++ < index) {
        }
        if (token.text[0] != '\0') {
            add_token(&choice, &token);
            *repeats = *repeats || token.repeats;
        }
    }
    return choice;
}

bool completion_is_known(const struct completion_choice *choice) {
    return choice->words[0] != '\0' || choice->is_file || choice->is_folder;
}

unsigned completion_places(unsigned verb) {
    enum { FORM_WORDS_MAX = 8 };
    unsigned places = 0;
    for (unsigned at = 0; at < FORM_WORDS_MAX; at++) {
        bool repeats;
        struct completion_choice choice = completion_of_word(verb, at, &repeats);
        places = completion_is_known(&choice) ? at + 1 : places;
        if (repeats) {
            break;
        }
    }
    return places;
}

void completion_quote(FILE *out, const char *text, const char *before_quote) {
    fputc('\'', out);
    for (; text[0] != '\0'; text++) {
        fputs(text[0] == '\'' ? before_quote : "", out);
        fputc(text[0], out);
    }
    fputc('\'', out);
}

/* Every error that a user meets is explained in config/messages.md: the messages as they stand in
 * the sources, and the words of faults, refusals and the protocol, against the rows of that page.
 */
#include "core/words/names.h"
#include "protocol/code.h"
#include "stand/desk.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <ctype.h>
#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ELLIPSIS "\xe2\x80\xa6" /* stands for what is filled in */

enum { TEXT_SIZE = 1024, ARGUMENTS_MAX = 12, LIST_MAX = 4096 };

/* ---- lists of texts */

struct list {
    char *text[LIST_MAX];
    size_t count;
};

static void list_add(struct list *list, const char *text) {
    for (size_t i = 0; i < list->count; i++) {
        if (strcmp(list->text[i], text) == 0) {
            return;
        }
    }
    assert_true(list->count < LIST_MAX);
    list->text[list->count++] = strdup(text);
}

static void list_free(struct list *list) {
    while (list->count > 0) {
        free(list->text[--list->count]);
    }
}

/* What must be explained; and all that may be part of a message. */
static struct list messages, fragments;

/* Returns how many words of letters there are. */
static unsigned words_of(const char *text) {
    unsigned words = 0;
    for (size_t run = 0; text[0] != '\0'; text++) {
        run = isalpha((unsigned char)text[0]) ? run + 1 : 0;
        words += run == 2;
    }
    return words;
}

/* ---- what a call says: its literals, with places to fill in as ELLIPSIS */

static const struct call {
    const char *name;
    unsigned format;     /* which argument is the text */
    const char *only[2]; /* if one of these is among its arguments */
} calls[] = {
    {"error_set", 2, {NULL}},         {"config_list_add", 2, {NULL}},
    {"build_error", 2, {NULL}},       {"build_misfit", 2, {NULL}},
    {"build_missing", 2, {NULL}},     {"build_warning", 2, {NULL}},
    {"complain", 1, {NULL}},          {"complain_at", 3, {NULL}},
    {"complain_of", 1, {NULL}},       {"log_line", 1, {"LOG_ERROR", "LOG_WARNING"}},
    {"fprintf", 1, {"stderr", NULL}}, {"fputs", 0, {"stderr", NULL}},
};

static const char *after_literal(const char *at) {
    for (at++; *at != '"'; at++) {
        at += *at == '\\';
    }
    return at + 1;
}

/* Cuts the arguments apart; returns how many there are. `at` is behind the bracket. */
static unsigned arguments_of(const char *at, const char *begins[], const char *ends[]) {
    unsigned count = 0;
    int depth = 1;
    begins[0] = at;
    while (depth > 0 && *at != '\0') {
        if (*at == '"') {
            at = after_literal(at);
            continue;
        }
        if (*at == '\'') {
            at += at[1] == '\\' ? 3 : 2;
        }
        depth += strchr("([{", *at) != NULL ? 1 : strchr(")]}", *at) != NULL ? -1 : 0;
        if ((depth == 1 && *at == ',' && count + 1 < ARGUMENTS_MAX) || depth == 0) {
            ends[count++] = at;
            begins[count < ARGUMENTS_MAX ? count : 0] = at + 1;
        }
        at++;
    }
    return count;
}

static const char *after_place(const char *at) {
    at += strspn(at, "-0123456789.*lz");
    return *at == '\0' || *at == '"' ? at : at + 1;
}

/* Appends one literal without its quotes. */
static void append(char *text, const char *from, const char *to) {
    size_t used = strlen(text);
    for (const char *at = from; at < to && used + 4 < TEXT_SIZE;) {
        if (at[0] == '%' && at[1] == '%') {
            text[used++] = '%';
            at += 2;
        } else if (at[0] == '%') {
            used += (size_t)snprintf(text + used, TEXT_SIZE - used, ELLIPSIS);
            at = after_place(at + 1);
        } else {
            at += at[0] == '\\';
            text[used++] = *at++;
        }
        text[used] = '\0';
    }
}

/* Hands each run of literals of the argument to `take`; a PRI macro between two is a place. */
static void each_literal(const char *at, const char *end,
                         void (*take)(const char *text, void *context), void *context) {
    char text[TEXT_SIZE] = "";
    for (; at < end; at++) {
        if (*at == '"') {
            const char *after = after_literal(at);
            append(text, at + 1, after - 1);
            at = after - 1;
        } else if (strncmp(at, "PRI", 3) == 0) {
            at += strcspn(at, " \n\"") - 1;
        } else if (!isspace((unsigned char)*at) && text[0] != '\0') {
            take(text, context);
            text[0] = '\0';
        }
    }
    if (text[0] != '\0') {
        take(text, context);
    }
}

static void take_message(const char *text, void *context) {
    unsigned least = *(unsigned *)context;
    if (words_of(text) >= least) {
        list_add(&messages, text);
    }
    list_add(&fragments, text);
}

static void take_fragment(const char *text, void *context) {
    (void)context;
    list_add(&fragments, text);
}

static void note_words(const char *text, void *context) {
    *(bool *)context = *(bool *)context || words_of(text) > 0;
}

static bool is_wanted(const struct call *call, const char *first, const char *end) {
    bool is_any = call->only[0] == NULL;
    for (size_t i = 0; i < 2 && call->only[i] != NULL; i++) {
        const char *found = strstr(first, call->only[i]);
        is_any = is_any || (found != NULL && found < end);
    }
    return is_any;
}

/* Where the text is nothing but places, what is filled in is the message. */
static void take_call(const struct call *call, const char *at) {
    const char *begins[ARGUMENTS_MAX];
    const char *ends[ARGUMENTS_MAX];
    unsigned count = arguments_of(at, begins, ends);
    if (count <= call->format || !is_wanted(call, begins[0], ends[count - 1])) {
        return;
    }
    unsigned least = 2; /* less is a frame for another message */
    bool has_words = false;
    each_literal(begins[call->format], ends[call->format], note_words, &has_words);
    each_literal(begins[call->format], ends[call->format], take_message, &least);
    for (unsigned i = call->format + 1; i < count; i++) {
        unsigned a_sentence = 3;
        each_literal(begins[i], ends[i], has_words ? take_fragment : take_message, &a_sentence);
    }
}

static void take_file(const char *path) {
    char *text = config_text_of_file(path);
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        const char *name = calls[i].name;
        for (const char *at = text; (at = strstr(at, name)) != NULL; at += strlen(name)) {
            bool is_whole = at == text || !(isalnum((unsigned char)at[-1]) || at[-1] == '_');
            if (is_whole && at[strlen(name)] == '(') {
                take_call(&calls[i], at + strlen(name) + 1);
            }
        }
    }
    free(text);
}

static void take_folder(const char *folder) {
    DIR *directory = opendir(folder);
    assert_non_null(directory);
    for (const struct dirent *entry; (entry = readdir(directory)) != NULL;) {
        char path[1024];
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        const char *dot = strrchr(entry->d_name, '.');
        if (entry->d_type == DT_DIR && entry->d_name[0] != '.') {
            take_folder(path);
        } else if (dot != NULL && strcmp(dot, ".c") == 0) {
            take_file(path);
        }
    }
    closedir(directory);
}

/* Words that are not in a call. */
/* Why a stand keeps itself, and everybody else, from asking. */
static void take_stand(void) {
    static const struct stand_setup setup = {
        .controls = 2, .control = {{.kind = STAND_KEY_SWITCH}, {.kind = STAND_EMERGENCY_STOP}}};
    struct desk desk;
    desk_init(&desk, &setup);
    list_add(&messages, desk_refuses_itself(&desk, REQUEST_RAISE));
    desk.is_local = true;
    list_add(&messages, desk_refuses_others(&desk, REQUEST_RAISE));
    desk.is_local = false;
    desk.contact[1].is_pressed = true;
    list_add(&messages, desk_refuses_others(&desk, REQUEST_RAISE));
}

static void take_tables(void) {
    for (int fault = FAULT_NONE + 1; fault < BRIDGE_FAULTS; fault++) {
        list_add(&messages, bridge_fault_text((enum bridge_fault)fault));
    }
    for (int answer = ANSWER_NONE + 1; answer <= ANSWER_CAUSE_STANDS; answer++) {
        if (!bridge_answer_is_granted((enum bridge_answer)answer)) {
            list_add(&messages, bridge_answer_text((enum bridge_answer)answer));
        }
    }
    for (int code = 400; code < 600; code++) {
        const char *text = srcp_code_text((enum srcp_code)code);
        if (text != NULL) {
            list_add(&messages, text);
        }
    }
}

/* ---- the page */

/* Returns whether the parts of `words` between ellipses stand in `text`, in their order. */
static bool is_in(const char *words, const char *text) {
    while (words[0] != '\0') {
        char part[TEXT_SIZE];
        const char *end = strstr(words, ELLIPSIS);
        size_t length = end != NULL ? (size_t)(end - words) : strlen(words);
        snprintf(part, sizeof part, "%.*s", (int)length, words);
        char *from = part + strspn(part, " ");
        for (size_t used = strlen(from); used > 0 && from[used - 1] == ' '; used--) {
            from[used - 1] = '\0';
        }
        const char *found = strstr(text, from);
        if (found == NULL) {
            return false;
        }
        text = found + strlen(from);
        words += length + (end != NULL ? strlen(ELLIPSIS) : 0);
    }
    return true;
}

/* Takes the words in back quotes of a row's first cell. Fails on a row without cause or remedy. */
static void take_row(const char *line, size_t length, struct list *rows) {
    char row[4 * TEXT_SIZE];
    snprintf(row, sizeof row, "%.*s", (int)length, line);
    char *end = strstr(row, " | ");
    assert_non_null(end);
    const char *remedy = strstr(end + 3, " | ");
    if (remedy == NULL || words_of(remedy) == 0) {
        fail_msg("no remedy: %s", row);
    }
    *end = '\0';
    for (char *at = row; (at = strchr(at, '`')) != NULL;) {
        char *close = strchr(at + 1, '`');
        assert_non_null(close);
        *close = '\0';
        list_add(rows, at + 1);
        at = close + 1;
    }
}

static void read_page(struct list *rows) {
    char *page = config_text_of_file(SOURCE_DIR "/config/messages.md");
    for (const char *line = page; line[0] != '\0';) {
        size_t length = strcspn(line, "\n");
        if (strncmp(line, "| `", 3) == 0) {
            take_row(line, length, rows);
        }
        line += length + (line[length] == '\n');
    }
    free(page);
}

static bool is_explained(const char *message, const struct list *rows) {
    for (size_t i = 0; i < rows->count; i++) {
        if (is_in(rows->text[i], message)) {
            return true;
        }
    }
    return false;
}

static bool is_said(const char *words) {
    for (size_t i = 0; i < messages.count + fragments.count; i++) {
        bool is_message = i < messages.count;
        if (is_in(words, is_message ? messages.text[i] : fragments.text[i - messages.count])) {
            return true;
        }
    }
    return false;
}

static void collect(void) {
    if (messages.count == 0) {
        take_folder(SOURCE_DIR "/daemon");
        take_folder(SOURCE_DIR "/tools/drawtender");
        take_tables();
        take_stand();
    }
}

static void every_message_is_explained(void **state) {
    (void)state;
    struct list rows = {.count = 0};
    unsigned unexplained = 0;
    collect();
    assert_true(messages.count > 400);
    read_page(&rows);
    for (size_t i = 0; i < messages.count; i++) {
        if (!is_explained(messages.text[i], &rows)) {
            print_error("not in config/messages.md: %s\n", messages.text[i]);
            unexplained++;
        }
    }
    list_free(&rows);
    assert_int_equal(unexplained, 0);
}

/* Else a message that is no more would stay, and a few letters would explain all. */
static void every_row_is_of_a_message_and_of_two_words_at_least(void **state) {
    (void)state;
    struct list rows = {.count = 0};
    unsigned wrong = 0;
    collect();
    read_page(&rows);
    for (size_t i = 0; i < rows.count; i++) {
        if (!is_said(rows.text[i]) || words_of(rows.text[i]) < 2) {
            print_error("nobody says so, or too few words: %s\n", rows.text[i]);
            wrong++;
        }
    }
    list_free(&rows);
    assert_int_equal(wrong, 0);
}

static void words_are_found_in_their_order(void **state) {
    (void)state;
    assert_true(is_in("no " ELLIPSIS " named", "no contact named \"x\""));
    assert_false(is_in("named " ELLIPSIS " no", "no contact named \"x\""));
    assert_false(is_in("no train", "no contact"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_message_is_explained),
        cmocka_unit_test(every_row_is_of_a_message_and_of_two_words_at_least),
        cmocka_unit_test(words_are_found_in_their_order),
    };
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    list_free(&messages);
    list_free(&fragments);
    return failed;
}

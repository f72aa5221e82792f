/* The pages as the build made them: whole, and of every row of the tables. */
#include "config/tables/tables.h"
#include "daemon/process/options.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/session/script_words.h"
#include "tools/drawtender/verbs/verbs.h"
#include "tools/manual/pages.h"

#include <stdlib.h>
#include <string.h>

static char *page(const char *name) {
    char path[512];
    snprintf(path, sizeof path, BINARY_DIR "/manual/%s", name);
    return config_text_of_file(path);
}

/* As it stands after .TP: bold, with minuses that stay minuses. */
static void has_item(const char *text, const char *what) {
    char item[256] = "\\fB";
    size_t used = strlen(item);
    for (const char *c = what; *c != '\0' && used + 2 < sizeof item; c++) {
        used += (size_t)snprintf(item + used, sizeof item - used, *c == '-' ? "\\-" : "%c", *c);
    }
    snprintf(item + used, sizeof item - used, "\\fR");
    for (const char *at = text; (at = strstr(at, ".TP\n")) != NULL;) {
        at += strlen(".TP\n");
        if (strncmp(at, item, strlen(item)) == 0) {
            return;
        }
    }
    fail_msg("no item '%s'", what);
}

static void every_page_begins_and_ends_as_one(void **state) {
    (void)state;
    unsigned count = 0;
    for (const struct page *row = pages; row->name != NULL; row++, count++) {
        char name[64];
        snprintf(name, sizeof name, "%s.%s", row->name, row->section);
        char *text = page(name);
        assert_non_null(strstr(text, "\n.SH NAME\n"));
        assert_non_null(strstr(text, "\n.SH CAUTION\n"));
        assert_non_null(strstr(text, "\n.SH SEE ALSO\n"));
        assert_non_null(strstr(text, "safety device"));
        free(text);
    }
    assert_int_equal(count, 4);
}

static void the_daemon_page_has_every_option_and_exit_status(void **state) {
    (void)state;
    char *text = page("drawtenderd.8");
    for (size_t i = 0; i < options_table.rows; i++) {
        has_item(text, options_table.row[i].name);
    }
    for (size_t i = 0; i < options_exits_count; i++) {
        char status[16];
        snprintf(status, sizeof status, "%d", options_exits[i].status);
        has_item(text, status);
    }
    free(text);
}

static void the_tool_page_has_every_verb_option_and_exit_code(void **state) {
    (void)state;
    char *text = page("drawtender.1");
    for (unsigned i = 0; i < VERBS; i++) {
        has_item(text, verb_names[i]);
    }
    for (size_t i = 0; i < tool_options_table.rows; i++) {
        has_item(text, tool_options_table.row[i].name);
    }
    for (unsigned i = 0; i < outcomes_count; i++) {
        char code[16];
        snprintf(code, sizeof code, "%d", (int)outcomes[i].outcome);
        has_item(text, code);
    }
    free(text);
}

/* Fails unless the key is an item between the object's heading and the next one. */
static void has_key(const char *text, const char *object, const char *key) {
    char heading[128];
    snprintf(heading, sizeof heading, "\n.SS %s\n", object);
    const char *from = strstr(text, heading);
    assert_non_null(from);
    const char *to = strstr(from + 1, "\n.S");
    char *part = strndup(from, (size_t)(to - from));
    char first[128];
    snprintf(first, sizeof first, "%.*s", (int)strcspn(key, " "), key);
    has_item(part, first);
    free(part);
}

static void the_configuration_page_has_every_key_of_every_object(void **state) {
    (void)state;
    char *text = page("drawtender.json.5");
    unsigned keys = 0;
    for (size_t i = 0; tables_object(i) != NULL; i++) {
        for (size_t k = 0; k < tables_object(i)->fields; k++, keys++) {
            has_key(text, tables_object(i)->name, tables_object(i)->field[k].key);
        }
    }
    assert_true(keys > 150);
    free(text);
}

static void the_session_page_has_every_line(void **state) {
    (void)state;
    char *text = page("drawtender-session.5");
    for (size_t i = 0; i < SCRIPT_WORDS; i++) {
        char word[32];
        snprintf(word, sizeof word, "%.*s", (int)strcspn(script_words[i].form, " "),
                 script_words[i].form);
        has_item(text, word);
    }
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_page_begins_and_ends_as_one),
        cmocka_unit_test(the_daemon_page_has_every_option_and_exit_status),
        cmocka_unit_test(the_tool_page_has_every_verb_option_and_exit_code),
        cmocka_unit_test(the_configuration_page_has_every_key_of_every_object),
        cmocka_unit_test(the_session_page_has_every_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* protocol/README.md says what the code does. */
#include "protocol/code.h"
#include "protocol/handshake.h"
#include "protocol/request.h"
#include "support/check.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_SIZE = 2000 };

static FILE *open_file(const char *name) {
    char path[500];
    snprintf(path, sizeof path, "%s/%s", SOURCE_DIR, name);
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        fail_msg("cannot open %s", name);
    }
    return file;
}

/* Reads one line without its end. */
static bool read_line(FILE *file, char line[LINE_SIZE]) {
    if (fgets(line, LINE_SIZE, file) == NULL) {
        return false;
    }
    line[strcspn(line, "\n")] = '\0';
    return true;
}

static void the_codes_are_those_of_the_table(void **state) {
    (void)state;
    FILE *file = open_file("protocol/README.md");
    char line[LINE_SIZE];
    unsigned found = 0;
    while (read_line(file, line)) {
        int code;
        char text[100];
        if (sscanf(line, "| %d | `%99[^`]` |", &code, text) == 2) {
            const char *wanted = srcp_code_text((enum srcp_code)code);
            assert_non_null(wanted);
            assert_string_equal(text, wanted);
            found++;
        }
    }
    fclose(file);
    unsigned codes = 0;
    for (int code = 1; code < 1000; code++) {
        codes += srcp_code_text((enum srcp_code)code) != NULL ? 1 : 0;
    }
    assert_int_equal(found, codes);
}

#define BIT(group) (1u << (group))

/* The server's part before it looks at the bridge. `is_open`: the handshake is over. */
static enum srcp_code code_of(const char *words, struct srcp_handshake *handshake, bool *is_open) {
    static const struct srcp_bus buses[] = {
        {0, BIT(SRCP_SESSION) | BIT(SRCP_SERVER) | BIT(SRCP_TIME) | BIT(SRCP_GM), 0},
        {1, BIT(SRCP_GA) | BIT(SRCP_FB) | BIT(SRCP_POWER) | BIT(SRCP_LOCK) | BIT(SRCP_DESCRIPTION),
         BIT(SRCP_GA)},
    };
    static const struct srcp_scope scope = {buses, sizeof buses / sizeof buses[0]};
    enum srcp_code code;
    if (!*is_open) {
        *is_open =
            srcp_handshake_step(handshake, srcp_text_of(words), &code) == SRCP_HANDSHAKE_GOES;
        return code;
    }
    struct srcp_request request;
    code = srcp_request_parse(srcp_text_of(words), &scope, &request);
    return code == SRCP_NO_FAULT ? request.value_fault : code;
}

/* Answers that only the bridge, a lock or the clock can give. */
static bool is_from_further_on(int code) {
    return code == SRCP_DONE || code == SRCP_INFO || code == SRCP_PROHIBITED ||
           code == SRCP_TIMEOUT;
}

static void the_session_is_answered_as_it_says(void **state) {
    (void)state;
    FILE *file = open_file("protocol/README.md");
    char line[LINE_SIZE];
    struct srcp_handshake handshake = {SRCP_COMMAND_MODE};
    bool is_open = false;
    int told = -1;
    unsigned answers = 0;
    while (read_line(file, line)) {
        int code;
        char text[100];
        if (strncmp(line, "C ", 2) == 0) {
            told = (int)code_of(line + 2, &handshake, &is_open);
        } else if (sscanf(line, "S %*d.%*3d %d %99[^\n]", &code, text) == 2) {
            if (told != code && !(told == SRCP_NO_FAULT && is_from_further_on(code))) {
                fail_msg("%s: the answer would be %d", line, told);
            }
            const char *wanted = srcp_code_text((enum srcp_code)code);
            assert_int_equal(strncmp(text, wanted, strlen(wanted)), 0);
            const char after = text[strlen(wanted)];
            assert_true(after == ' ' || after == '\0');
            told = -1;
            answers++;
        }
    }
    fclose(file);
    assert_true(is_open);
    assert_true(answers > 10);
}

/* Whichever room it is in. */
static FILE *open_test(const char *folder, const char *module) {
    char pattern[400];
    glob_t found;
    snprintf(pattern, sizeof pattern, SOURCE_DIR "/tests/%s/{,*/}test_%s.c", folder, module);
    if (glob(pattern, GLOB_BRACE, NULL, &found) != 0) {
        fail_msg("no tests/%s/.../test_%s.c", folder, module);
    }
    FILE *file = fopen(found.gl_pathv[0], "r");
    globfree(&found);
    assert_non_null(file);
    return file;
}

/* A test that is only defined, and not in its program's list, does not count. */
static bool has_test(const char *folder, const char *module, const char *test) {
    char unit[300];
    snprintf(unit, sizeof unit, "(%s", test); /* as an argument, with or without a setup */
    FILE *file = open_test(folder, module);
    char line[LINE_SIZE];
    bool is_found = false;
    while (!is_found && read_line(file, line)) {
        const char *at = strstr(line, unit);
        is_found = at != NULL && strchr("),", at[strlen(unit)]) != NULL && at[strlen(unit)] != '\0';
    }
    fclose(file);
    return is_found;
}

static void the_tests_that_it_names_are_there(void **state) {
    (void)state;
    FILE *file = open_file("protocol/README.md");
    char line[LINE_SIZE];
    unsigned found = 0;
    while (read_line(file, line)) {
        for (const char *at = line; (at = strchr(at, '`')) != NULL; at++) {
            char folder[80];
            char module[80];
            char test[120];
            if (sscanf(at, "`%79[a-z]/%79[a-z_]: %119[a-z0-9_]`", folder, module, test) == 3) {
                if (!has_test(folder, module, test)) {
                    fail_msg("no test %s/%s: %s", folder, module, test);
                }
                found++;
            }
        }
    }
    fclose(file);
    assert_true(found > 30);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_codes_are_those_of_the_table),
        cmocka_unit_test(the_session_is_answered_as_it_says),
        cmocka_unit_test(the_tests_that_it_names_are_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What bash itself makes of the completions; the words of zsh and fish come by the same functions.
 */
#include "support/check.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

/* Runs bash on the words, parted by blanks; an empty last word is what a blank at the end begins.
 * Returns the lines that it printed. */
static const char *complete(const char *words) {
    static char out[4096];
    char command[1024];
    bool is_empty = words[strlen(words) - 1] == ' ';
    snprintf(command, sizeof command,
             "cd " SOURCE_DIR "; bash tests/manual/complete.bash " BINARY_DIR "/manual %s%s", words,
             is_empty ? "''" : "");
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    size_t length = fread(out, 1, sizeof out - 1, pipe);
    out[length] = '\0';
    int status = pclose(pipe);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    return out;
}

static void words_are_completed(void **state) {
    (void)state;
    static const struct {
        const char *words, *wanted;
    } cases[] = {
        {"drawtender rai", "raise\n"},
        {"drawtender power ", "on\noff\n"},
        {"drawtender --bus 2 power ", "on\noff\n"},
        {"drawtender wait ", "lined\nopen\nheld\nfault\nFB\nGA\n"},
        {"drawtender wait lined ", ""},
        {"drawtender help commi", "commission\n"},
        {"drawtender balance x ", "record\nfit\nspring\ntrend\n"},
        {"drawtender reckon config/kettle", "config/kettle-narrows.json\n"},
        {"drawtender reckon x --plots confi", "config\n"},
        {"drawtender raise --no", "--no-wait\n"},
        {"drawtender raise --pl", ""}, /* raise does not take it */
        {"drawtender reckon --pl", "--plots\n"},
        {"drawtender --host l", ""},
        {"drawtenderd --log no", "notice\n"},
        {"drawtenderd --config config/mill", "config/mill-swing.json\n"},
        {"drawtenderd --wat", "--watchdog\n"},
        {"drawtenderd ", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *got = complete(cases[i].words);
        if (strcmp(got, cases[i].wanted) != 0) {
            fail_msg("'%s': got '%s', wanted '%s'", cases[i].words, got, cases[i].wanted);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_are_completed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

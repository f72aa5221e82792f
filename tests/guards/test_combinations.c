/* Combinations of what a bridge may have: a share of what tools/combinations reads whole, and that
 * what README.md keeps of it is as it is now. */
#include "guards/survey.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdlib.h>
#include <string.h>

static const char daemon_path[] = BINARY_DIR "/drawtenderd";

static int begin(void **state) {
    (void)state;
    combination_begin();
    return 0;
}

static int end(void **state) {
    (void)state;
    combination_end();
    return 0;
}

static void some_of_every_share_are_refused_or_guarded(void **state) {
    (void)state;
    static struct survey survey;
    for (size_t i = 0; i < SURVEY_SHARES; i++) {
        if (!survey_run(&survey_shares[i], 61, daemon_path, 4, &survey)) {
            fail_msg("%s: %s", survey_shares[i].name, survey.broken);
        }
        assert_in_range(survey.accepted, 1, survey.looked_at - 1);
        assert_true(survey.by_program > 0);
    }
}

static void assert_kept(const struct share *share, const char *readme) {
    static struct survey survey;
    char line[256];
    assert_true(survey_run(share, 1, NULL, 1, &survey));
    survey_line(&survey, line);
    if (strstr(readme, line) == NULL) {
        fail_msg("README.md is of another time; run tools/combinations. Not in it: %s", line);
    }
}

/* The two shares that are quick to read. */
static void readme_is_current(void **state) {
    (void)state;
    char *readme = config_text_of_file(SOURCE_DIR "/tests/guards/README.md");
    assert_kept(&survey_shares[SURVEY_SHARES - 2], readme);
    assert_kept(&survey_shares[SURVEY_SHARES - 1], readme);
    free(readme);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(some_of_every_share_are_refused_or_guarded),
        cmocka_unit_test(readme_is_current),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

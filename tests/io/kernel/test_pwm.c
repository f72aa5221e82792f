#include "io/kernel/pwm.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <stdio.h>
#include <string.h>

struct stage {
    struct tree tree;
    struct wired_pwm setup;
    struct pwm pwm;
    struct error error;
};

/* A channel as the kernel exports it: never used, or left by somebody. */
static void prepare(struct stage *stage, const char *period, const char *duty, const char *polarity,
                    const char *enable) {
    *stage = (struct stage){.setup = {.channel = 1, .period_ns = 50000}};
    tree_make(&stage->tree);
    snprintf(stage->setup.chip, sizeof stage->setup.chip, "%s/pwmchip0", stage->tree.root);
    tree_put(&stage->tree, "pwmchip0/export", "");
    tree_put(&stage->tree, "pwmchip0/pwm1/period", period);
    tree_put(&stage->tree, "pwmchip0/pwm1/duty_cycle", duty);
    tree_put(&stage->tree, "pwmchip0/pwm1/polarity", polarity);
    tree_put(&stage->tree, "pwmchip0/pwm1/enable", enable);
    tree_watch(&stage->tree, "pwmchip0/pwm1");
}

static void expect_rest(struct stage *stage) {
    tree_expect(&stage->tree, "pwmchip0/pwm1/duty_cycle", "0");
    tree_expect(&stage->tree, "pwmchip0/pwm1/period", "50000");
    tree_expect(&stage->tree, "pwmchip0/pwm1/enable", "1");
}

static void end(struct stage *stage) {
    pwm_close(&stage->pwm);
    tree_remove(&stage->tree);
}

static void opens_a_new_channel_at_rest(void **state) {
    (void)state;
    struct stage stage;
    char names[256];
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    expect_rest(&stage);
    tree_written(&stage.tree, names, sizeof names);
    assert_string_equal(names, "period duty_cycle enable ");
    end(&stage);
}

/* EINVAL when the duty cycle is longer than the period (Linux, driver-api/pwm.rst), and the motor
 * must not run meanwhile. */
static void lowers_the_duty_cycle_before_the_period_shrinks(void **state) {
    (void)state;
    struct stage stage;
    char names[256];
    prepare(&stage, "1000000\n", "800000\n", "normal\n", "1\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    expect_rest(&stage);
    tree_written(&stage.tree, names, sizeof names);
    assert_string_equal(names, "duty_cycle period duty_cycle enable ");
    end(&stage);
}

static void changes_polarity_while_disabled(void **state) {
    (void)state;
    struct stage stage;
    char names[256];
    prepare(&stage, "50000\n", "20000\n", "normal\n", "1\n");
    stage.setup.is_inversed = true;
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    expect_rest(&stage);
    tree_expect(&stage.tree, "pwmchip0/pwm1/polarity", "inversed");
    tree_written(&stage.tree, names, sizeof names);
    assert_string_equal(names, "duty_cycle period duty_cycle enable polarity enable ");
    end(&stage);
}

static void rest_keeps_it_enabled(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    assert_true(pwm_set(&stage.pwm, 50000, &stage.error)); /* equal is allowed */
    tree_expect(&stage.tree, "pwmchip0/pwm1/duty_cycle", "50000");
    assert_true(pwm_rest(&stage.pwm, &stage.error));
    expect_rest(&stage);
    end(&stage);
}

static void writes_on_change_only_but_rest_always(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    tree_put(&stage.tree, "pwmchip0/pwm1/duty_cycle", "mark");
    assert_true(pwm_set(&stage.pwm, 0, &stage.error));
    tree_expect(&stage.tree, "pwmchip0/pwm1/duty_cycle", "mark");
    assert_true(pwm_rest(&stage.pwm, &stage.error));
    tree_expect(&stage.tree, "pwmchip0/pwm1/duty_cycle", "0");
    end(&stage);
}

static void refuses_more_than_the_period(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    assert_false(pwm_set(&stage.pwm, 50001, &stage.error));
    expect_rest(&stage);
    end(&stage);
}

static void says_which_file_failed(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    tree_drop(&stage.tree, "pwmchip0/pwm1/duty_cycle");
    assert_false(pwm_set(&stage.pwm, 1000, &stage.error));
    assert_non_null(strstr(stage.error.where, "pwm1/duty_cycle"));
    tree_put(&stage.tree, "pwmchip0/pwm1/duty_cycle", "");
    assert_true(pwm_set(&stage.pwm, 1000, &stage.error)); /* the same again: not yet written */
    tree_expect(&stage.tree, "pwmchip0/pwm1/duty_cycle", "1000");
    end(&stage);
}

static void exports_the_channel(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    stage.setup.channel = 2;
    assert_false(pwm_open(&stage.pwm, &stage.setup, &stage.error)); /* nobody makes pwm2 */
    tree_expect(&stage.tree, "pwmchip0/export", "2");
    end(&stage);
}

/* A second daemon, started by mistake, must not stop the first one's motor behind its back. */
static void a_channel_that_is_in_use_is_left_as_it_is(void **state) {
    (void)state;
    struct stage stage;
    struct pwm second;
    prepare(&stage, "0\n", "0\n", "normal\n", "0\n");
    assert_true(pwm_open(&stage.pwm, &stage.setup, &stage.error));
    assert_true(pwm_set(&stage.pwm, 30000, &stage.error));
    assert_false(pwm_open(&second, &stage.setup, &stage.error));
    assert_non_null(strstr(stage.error.where, "pwm1/duty_cycle"));
    assert_non_null(strstr(stage.error.what, "in use"));
    tree_expect(&stage.tree, "pwmchip0/pwm1/duty_cycle", "30000");
    pwm_close(&stage.pwm);
    assert_true(pwm_open(&second, &stage.setup, &stage.error)); /* as after a crash */
    expect_rest(&stage);
    pwm_close(&second);
    end(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opens_a_new_channel_at_rest),
        cmocka_unit_test(lowers_the_duty_cycle_before_the_period_shrinks),
        cmocka_unit_test(changes_polarity_while_disabled),
        cmocka_unit_test(rest_keeps_it_enabled),
        cmocka_unit_test(writes_on_change_only_but_rest_always),
        cmocka_unit_test(refuses_more_than_the_period),
        cmocka_unit_test(says_which_file_failed),
        cmocka_unit_test(exports_the_channel),
        cmocka_unit_test(a_channel_that_is_in_use_is_left_as_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

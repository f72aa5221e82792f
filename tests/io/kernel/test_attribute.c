#include "io/kernel/attribute.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <string.h>
#include <sys/resource.h>

static void text_is_the_first_line_whole(void **state) {
    (void)state;
    struct tree tree;
    struct error error = {.what = ""};
    char text[8];
    tree_make(&tree);
    tree_put(&tree, "name", "abc\nrest");
    assert_false(attribute_text(tree.root, "name", text, sizeof text, &error));
    assert_non_null(strstr(error.what, "longer"));
    tree_put(&tree, "name", "abc\nd");
    assert_true(attribute_text(tree.root, "name", text, sizeof text, &error));
    assert_string_equal(text, "abc");
    tree_put(&tree, "name", "");
    assert_false(attribute_text(tree.root, "name", text, sizeof text, &error));
    assert_string_equal(error.what, "is empty");
    assert_false(attribute_text(tree.root, "nothing", text, sizeof text, &error));
    tree_remove(&tree);
}

static void number_has_nothing_around_it(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool is_good;
    } cases[] = {{"12\n", true},   {"-0.5\n", true}, {"\n", false},     {"12 V\n", false},
                 {"nan\n", false}, {"inf\n", false}, {"1e999\n", false}};
    struct tree tree;
    tree_make(&tree);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double number;
        tree_put(&tree, "value", cases[i].text);
        if (attribute_number(tree.root, "value", &number, NULL) != cases[i].is_good) {
            fail_msg("%s", cases[i].text);
        }
    }
    tree_remove(&tree);
}

/* A file may grow no longer than three bytes. */
static void value_that_is_written_in_part_is_not_written(void **state) {
    (void)state;
    struct tree tree;
    struct rlimit before, three;
    tree_make(&tree);
    tree_put(&tree, "duty_cycle", "");
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    three = (struct rlimit){.rlim_cur = 3, .rlim_max = before.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &three), 0);
    bool is_cut = !attribute_put(tree.root, "duty_cycle", "25000", NULL);
    bool is_whole = attribute_put(tree.root, "duty_cycle", "250", NULL);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_true(is_cut && is_whole);
    tree_remove(&tree);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_the_first_line_whole),
        cmocka_unit_test(number_has_nothing_around_it),
        cmocka_unit_test(value_that_is_written_in_part_is_not_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

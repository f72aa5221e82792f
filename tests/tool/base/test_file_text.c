#include "support/check.h"
#include "tools/drawtender/base/file_text.h"

#include <string.h>

static void what_cannot_be_read_says_why(void **state) {
    (void)state;
    static const struct {
        const char *path, *what;
    } cases[] = {{"/tmp", "Is a directory"},
                 {"/nowhere", "No such file"},
                 {"/dev/zero", "not a text of at most"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct error error;
        assert_null(file_text_read(cases[i].path, &error));
        assert_non_null(strstr(error.what, cases[i].what));
    }
}

static void two_names_of_one_file_are_the_same(void **state) {
    (void)state;
    assert_true(file_text_is_same("/dev/null", "/dev/../dev/null"));
    assert_true(file_text_is_same("/nowhere", "/nowhere"));
    assert_false(file_text_is_same("/dev/null", "/dev/zero"));
    assert_false(file_text_is_same("/dev/null", "/nowhere"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_read_says_why),
        cmocka_unit_test(two_names_of_one_file_are_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

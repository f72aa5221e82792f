#include "base/error.h"
#include "support/check.h"

#include <string.h>

static void error_is_cut_not_overrun(void **state) {
    (void)state;
    char longer[600];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    struct error error;
    assert_false(error_set(&error, longer, "%s", longer));
    assert_int_equal(strlen(error.where), sizeof error.where - 1);
    assert_int_equal(strlen(error.what), sizeof error.what - 1);
}

static void error_may_be_ignored(void **state) {
    (void)state;
    assert_false(error_set(NULL, "", "%d", 1));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(error_is_cut_not_overrun),
        cmocka_unit_test(error_may_be_ignored),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

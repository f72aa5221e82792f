#include "io/kernel/hwmon.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <stdio.h>
#include <string.h>

/* Milliamperes, signed (Linux, ABI/testing/sysfs-class-hwmon). */
static void reads_amperes(void **state) {
    (void)state;
    struct tree tree;
    struct hwmon hwmon;
    struct error error;
    double value;
    tree_make(&tree);
    tree_put(&tree, "curr1_input", "1234\n");
    assert_true(hwmon_open(&hwmon, tree.root, "curr1", &error));
    assert_true(hwmon_read(&hwmon, &value, &error) && value == 1.234);
    tree_put(&tree, "curr1_input", "-5\n");
    assert_true(hwmon_read(&hwmon, &value, &error) && value == -0.005);
    tree_remove(&tree);
}

static void missing_channel_is_refused(void **state) {
    (void)state;
    struct tree tree;
    struct hwmon hwmon;
    struct error error;
    tree_make(&tree);
    tree_put(&tree, "curr1_input", "1234\n");
    assert_false(hwmon_open(&hwmon, tree.root, "curr2", &error));
    assert_non_null(strstr(error.where, "curr2_input"));
    tree_remove(&tree);
}

static void chip_is_found_by_its_name(void **state) {
    (void)state;
    struct tree tree;
    struct error error;
    char folder[ATTRIBUTE_PATH_SIZE], wanted[ATTRIBUTE_PATH_SIZE];
    tree_make(&tree);
    tree_put(&tree, "hwmon0/name", "coretemp\n");
    tree_put(&tree, "hwmon1/name", "ina219\n");
    assert_true(attribute_find(tree.root, "ina219", folder, &error));
    snprintf(wanted, sizeof wanted, "%s/hwmon1", tree.root);
    assert_string_equal(folder, wanted);
    assert_false(attribute_find(tree.root, "ina226", folder, &error));
    assert_non_null(strstr(error.what, "no device"));
    tree_put(&tree, "hwmon2/name", "ina219\n");
    assert_false(attribute_find(tree.root, "ina219", folder, &error));
    assert_non_null(strstr(error.what, "several"));
    tree_remove(&tree);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_amperes),
        cmocka_unit_test(missing_channel_is_refused),
        cmocka_unit_test(chip_is_found_by_its_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

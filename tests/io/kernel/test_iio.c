#include "io/kernel/iio.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <string.h>

/* Raw 2048 at 0.805664062 mV a step: 1650.0 mV (Linux, ABI/testing/sysfs-bus-iio: millivolts after
 * offset and scale; the numbers are of a 12-bit converter at 3.3 V). */
static void reads_volts(void **state) {
    (void)state;
    struct tree tree;
    struct iio iio;
    struct error error;
    double value;
    tree_make(&tree);
    tree_put(&tree, "in_voltage0_raw", "2048\n");
    tree_put(&tree, "in_voltage_scale", "0.805664062\n");
    assert_true(iio_open(&iio, tree.root, "voltage0", &error));
    assert_true(iio_read(&iio, &value, &error));
    assert_true(value > 1.6499 && value < 1.6501);
    tree_remove(&tree);
}

static void offset_and_scale_of_the_channel_go_first(void **state) {
    (void)state;
    struct tree tree;
    struct iio iio;
    struct error error;
    double value;
    tree_make(&tree);
    tree_put(&tree, "in_current3_raw", "-50\n");
    tree_put(&tree, "in_current3_scale", "10\n");
    tree_put(&tree, "in_current_scale", "99\n");
    tree_put(&tree, "in_current_offset", "150\n");
    assert_true(iio_open(&iio, tree.root, "current3", &error));
    assert_true(iio_read(&iio, &value, &error));
    assert_true(value > 0.9999 && value < 1.0001); /* (-50 + 150) x 10 mA */
    tree_remove(&tree);
}

static void what_is_no_number_is_an_error(void **state) {
    (void)state;
    static const char *const texts[] = {"",      "\n",   "1650 mV\n", "none\n",
                                        "nan\n", "0x\n", "12 34\n"};
    struct tree tree;
    struct iio iio;
    struct error error;
    double value = 7;
    tree_make(&tree);
    tree_put(&tree, "in_voltage0_raw", "1\n");
    tree_put(&tree, "in_voltage0_scale", "1\n");
    assert_true(iio_open(&iio, tree.root, "voltage0", &error));
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        tree_put(&tree, "in_voltage0_raw", texts[i]);
        assert_false(iio_read(&iio, &value, &error));
        assert_non_null(strstr(error.where, "in_voltage0_raw"));
    }
    tree_drop(&tree, "in_voltage0_raw");
    assert_false(iio_read(&iio, &value, &error));
    assert_true(value == 7);
    tree_remove(&tree);
}

static void channel_without_scale_is_refused(void **state) {
    (void)state;
    struct tree tree;
    struct iio iio;
    struct error error;
    tree_make(&tree);
    tree_put(&tree, "in_voltage0_raw", "1\n");
    assert_false(iio_open(&iio, tree.root, "voltage0", &error));
    assert_non_null(strstr(error.what, "scale"));
    tree_remove(&tree);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_volts),
        cmocka_unit_test(offset_and_scale_of_the_channel_go_first),
        cmocka_unit_test(what_is_no_number_is_an_error),
        cmocka_unit_test(channel_without_scale_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

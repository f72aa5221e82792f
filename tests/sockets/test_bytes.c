#include "sockets/bytes.h"
#include "support/broken.h"
#include "support/check.h"

#include <stdint.h>
#include <stdlib.h>

/* Bytes with numbers, in random pieces, come out in the order they went in. */
static void bytes_come_out_as_they_went_in(void **state) {
    (void)state;
    struct bytes bytes = {0};
    char piece[3000];
    unsigned in = 0;
    unsigned out = 0;
    uint32_t random = 1;
    for (unsigned round = 0; round < 2000; round++) {
        random = random * 1664525u + 1013904223u;
        size_t length = (random >> 8) % sizeof piece;
        for (size_t i = 0; i < length; i++) {
            piece[i] = (char)(in++ % 251);
        }
        assert_true(bytes_add(&bytes, piece, length));
        assert_int_equal(bytes.length, in - out);
        random = random * 1664525u + 1013904223u;
        size_t dropped = (random >> 8) % (2 * sizeof piece);
        dropped = dropped < bytes.length ? dropped : bytes.length;
        for (size_t i = 0; i < dropped; i++) {
            assert_int_equal(bytes_begin(&bytes)[i], (char)(out++ % 251));
        }
        bytes_drop(&bytes, dropped);
    }
    bytes_drop(&bytes, bytes.length);
}

static void empty_holds_no_memory(void **state) {
    (void)state;
    struct bytes bytes = {0};
    assert_null(bytes_begin(&bytes));
    assert_true(bytes_add(&bytes, "", 0));
    assert_null(bytes.memory);
    assert_true(bytes_add(&bytes, "seated", 6));
    bytes_drop(&bytes, 5);
    assert_memory_equal(bytes_begin(&bytes), "d", 1);
    bytes_drop(&bytes, 1);
    assert_null(bytes.memory);
    assert_null(bytes_begin(&bytes));
}

/* What is taken in front makes room behind: a queue that never empties does not grow. */
static void steady_queue_does_not_grow(void **state) {
    (void)state;
    static const char piece[100];
    struct bytes bytes = {0};
    assert_true(bytes_add(&bytes, piece, sizeof piece));
    for (unsigned i = 0; i < 10000; i++) {
        assert_true(bytes_add(&bytes, piece, sizeof piece));
        bytes_drop(&bytes, sizeof piece);
    }
    assert_true(bytes.size < 1000);
    bytes_drop(&bytes, bytes.length);
}

static void too_much_is_refused_and_changes_nothing(void **state) {
    (void)state;
    struct bytes bytes = {0};
    assert_true(bytes_add(&bytes, "lined", 5));
    assert_false(bytes_add(&bytes, "x", SIZE_MAX / 2));
    assert_int_equal(bytes.length, 5);
    assert_memory_equal(bytes_begin(&bytes), "lined", 5);
    bytes_drop(&bytes, 5);
}

static void drop_six_of_five(void *context) {
    bytes_drop(context, 6);
}

static void more_than_there_is_breaks_it(void **state) {
    (void)state;
    struct bytes bytes = {0};
    assert_true(bytes_add(&bytes, "lined", 5));
    assert_broken(drop_six_of_five, &bytes, "length <= bytes->length");
    bytes_drop(&bytes, 5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bytes_come_out_as_they_went_in),
        cmocka_unit_test(empty_holds_no_memory),
        cmocka_unit_test(steady_queue_does_not_grow),
        cmocka_unit_test(too_much_is_refused_and_changes_nothing),
        cmocka_unit_test(more_than_there_is_breaks_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The ring from the control loop to a thread: in order, bounded, and never beyond its bounds. */
#include "base/ring.h"
#include "support/broken.h"
#include "support/check.h"

enum { ROOM = 4 };

static void put(struct ring *ring, uint64_t serial) {
    uint64_t *item = ring_room(ring);
    assert_non_null(item);
    *item = serial;
    ring_put(ring);
}

static void items_come_out_as_they_went_in(void **state) {
    (void)state;
    struct ring *ring = ring_new(ROOM, sizeof(uint64_t));
    assert_non_null(ring);
    assert_null(ring_oldest(ring));
    for (uint64_t serial = 1; serial <= 3 * ROOM; serial++) { /* round more than once */
        put(ring, serial);
        put(ring, serial + 100);
        assert_int_equal(*(const uint64_t *)ring_oldest(ring), serial);
        ring_drop(ring);
        assert_int_equal(*(const uint64_t *)ring_oldest(ring), serial + 100);
        ring_drop(ring);
    }
    ring_free(ring);
}

static void full_ring_takes_no_more(void **state) {
    (void)state;
    struct ring *ring = ring_new(ROOM, sizeof(uint64_t));
    for (uint64_t serial = 1; serial <= ROOM; serial++) {
        put(ring, serial);
    }
    assert_null(ring_room(ring));
    ring_drop(ring);
    put(ring, ROOM + 1);
    ring_free(ring);
}

static void half_full_is_told_once_on_the_way_up(void **state) {
    (void)state;
    struct ring *ring = ring_new(ROOM, sizeof(uint64_t));
    for (unsigned round = 0; round < 3; round++) {
        assert_false(ring_put(ring));
        assert_true(ring_put(ring));
        assert_false(ring_put(ring));
        assert_false(ring_put(ring));
        for (unsigned i = 0; i < ROOM; i++) {
            ring_drop(ring);
        }
    }
    ring_free(ring);
}

static void put_into_full(void *context) {
    for (unsigned i = 0; i <= ROOM; i++) {
        ring_put(context);
    }
}

static void drop_of_empty(void *context) {
    ring_drop(context);
}

static void more_than_there_is_breaks_it(void **state) {
    (void)state;
    struct ring *ring = ring_new(ROOM, sizeof(uint64_t));
    assert_broken(put_into_full, ring, "ring_room(ring) != NULL");
    assert_broken(drop_of_empty, ring, "ring_oldest(ring) != NULL");
    ring_free(ring);
}

/* Hangs if a wake before the wait were lost. */
static void wake_before_a_wait_ends_it(void **state) {
    (void)state;
    struct ring *ring = ring_new(ROOM, sizeof(uint64_t));
    ring_wake(ring);
    ring_wake(ring);
    ring_wait(ring, -1);
    ring_free(ring);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(items_come_out_as_they_went_in),
        cmocka_unit_test(full_ring_takes_no_more),
        cmocka_unit_test(half_full_is_told_once_on_the_way_up),
        cmocka_unit_test(wake_before_a_wait_ends_it),
        cmocka_unit_test(more_than_there_is_breaks_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

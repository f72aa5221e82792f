/* The ring from the control loop to the writer: in order, bounded, and never beyond its bounds. */
#include "records/queue.h"
#include "support/broken.h"
#include "support/check.h"

enum { ROOM = 4 };

static void put(struct queue *queue, uint64_t serial) {
    struct item *item = queue_room(queue);
    assert_non_null(item);
    item->step.serial = serial;
    queue_put(queue);
}

static void items_come_out_as_they_went_in(void **state) {
    (void)state;
    struct queue *queue = queue_new(ROOM);
    assert_non_null(queue);
    assert_null(queue_oldest(queue));
    for (uint64_t serial = 1; serial <= 3 * ROOM; serial++) { /* round more than once */
        put(queue, serial);
        put(queue, serial + 100);
        assert_int_equal(queue_oldest(queue)->step.serial, serial);
        queue_drop(queue);
        assert_int_equal(queue_oldest(queue)->step.serial, serial + 100);
        queue_drop(queue);
    }
    queue_free(queue);
}

static void full_ring_takes_no_more(void **state) {
    (void)state;
    struct queue *queue = queue_new(ROOM);
    for (uint64_t serial = 1; serial <= ROOM; serial++) {
        put(queue, serial);
    }
    assert_null(queue_room(queue));
    queue_drop(queue);
    put(queue, ROOM + 1);
    queue_free(queue);
}

static void half_full_is_told_once_on_the_way_up(void **state) {
    (void)state;
    struct queue *queue = queue_new(ROOM);
    for (unsigned round = 0; round < 3; round++) {
        assert_false(queue_put(queue));
        assert_true(queue_put(queue));
        assert_false(queue_put(queue));
        assert_false(queue_put(queue));
        for (unsigned i = 0; i < ROOM; i++) {
            queue_drop(queue);
        }
    }
    queue_free(queue);
}

static void put_into_full(void *context) {
    for (unsigned i = 0; i <= ROOM; i++) {
        queue_put(context);
    }
}

static void drop_of_empty(void *context) {
    queue_drop(context);
}

static void more_than_there_is_breaks_it(void **state) {
    (void)state;
    struct queue *queue = queue_new(ROOM);
    assert_broken(put_into_full, queue, "queue_room(queue) != NULL");
    assert_broken(drop_of_empty, queue, "queue_oldest(queue) != NULL");
    queue_free(queue);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(items_come_out_as_they_went_in),
        cmocka_unit_test(full_ring_takes_no_more),
        cmocka_unit_test(half_full_is_told_once_on_the_way_up),
        cmocka_unit_test(more_than_there_is_breaks_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

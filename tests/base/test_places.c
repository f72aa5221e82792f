/* Who leaves first where places are short. */
#include "base/places.h"
#include "support/check.h"

#include <string.h>

enum { PLACES = 6 };

static struct places places;
static struct place place[PLACES];

static int init(void **state) {
    (void)state;
    places_init(&places);
    memset(place, 0, sizeof place);
    return 0;
}

static int leave(void **state) {
    (void)state;
    for (unsigned i = 0; i < PLACES; i++) {
        place_leave(&places, &place[i]); /* or its source is a leak */
    }
    return 0;
}

static void take(unsigned i, unsigned char host) {
    unsigned char address[16] = {[10] = 0xff, [11] = 0xff, 192, 0, 2, host};
    assert_true(place_take(&places, &place[i], address));
}

static void oldest_leaves_first(void **state) {
    (void)state;
    assert_null(places_first_to_leave(&places, NULL));
    take(0, 1);
    take(1, 2);
    take(2, 3);
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[0]);
    place_leave(&places, &place[0]);
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[1]);
}

static void of_the_address_that_has_most_unfinished(void **state) {
    (void)state;
    take(0, 1);
    take(1, 2);
    take(2, 2);
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[1]);
    place_finish(&places, &place[1]); /* one each: served ones do not count */
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[0]);
}

static void newest_never_leaves(void **state) {
    (void)state;
    take(0, 1);
    assert_null(places_first_to_leave(&places, &place[0]));
    assert_null(places_first_neighbour_to_leave(&places, &place[0]));
    take(1, 1);
    assert_ptr_equal(places_first_to_leave(&places, &place[1]), &place[0]);
}

static void who_is_served_stays_and_begins_anew_as_the_newest(void **state) {
    (void)state;
    take(0, 1);
    take(1, 1);
    place_finish(&places, &place[0]);
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[1]);
    place_begin(&places, &place[0]);
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[1]);
    place_begin(&places, &place[1]); /* it is unfinished already, and stays the oldest */
    assert_ptr_equal(places_first_to_leave(&places, NULL), &place[1]);
}

/* Addresses 1 and 65 lie in one bucket. */
static void neighbours_are_those_of_one_address(void **state) {
    (void)state;
    take(0, 65);
    take(1, 1);
    take(2, 1);
    take(3, 65);
    assert_int_equal(place_count(&place[2]), 2);
    assert_true(place_is_neighbour(&place[1], &place[2]));
    assert_false(place_is_neighbour(&place[0], &place[2]));
    assert_ptr_equal(places_first_neighbour_to_leave(&places, &place[2]), &place[1]);
    place_finish(&places, &place[1]);
    assert_int_equal(place_count(&place[2]), 2);
    assert_null(places_first_neighbour_to_leave(&places, &place[2]));
    place_leave(&places, &place[0]);
    take(4, 65);
    assert_int_equal(place_count(&place[3]), 2);
    assert_true(place_is_neighbour(&place[3], &place[4]));
}

static void who_has_no_place_has_no_neighbours(void **state) {
    (void)state;
    assert_int_equal(place_count(&place[0]), 0);
    assert_false(place_is_neighbour(&place[0], &place[1]));
    place_finish(&places, &place[0]);
    place_begin(&places, &place[0]);
    place_leave(&places, &place[0]);
    assert_null(places_first_to_leave(&places, NULL));
    take(0, 1);
    place_leave(&places, &place[0]);
    place_begin(&places, &place[0]);
    assert_null(places_first_to_leave(&places, NULL));
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define PLACED(test) cmocka_unit_test_setup_teardown(test, init, leave)
        PLACED(oldest_leaves_first),
        PLACED(of_the_address_that_has_most_unfinished),
        PLACED(newest_never_leaves),
        PLACED(who_is_served_stays_and_begins_anew_as_the_newest),
        PLACED(neighbours_are_those_of_one_address),
        PLACED(who_has_no_place_has_no_neighbours),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

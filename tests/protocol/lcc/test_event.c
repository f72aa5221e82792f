/* Event Transport S and Event Identifiers S, 22 Jul 2024. */
#include "protocol/lcc/event.h"
#include "support/check.h"

static void a_range_ends_where_its_mask_does(void **state) {
    (void)state;
    assert_true(lcc_event_range(0x00, 3) == 0x07);
    assert_true(lcc_event_range(0x08, 3) == 0x08);
    assert_true(lcc_event_range(LCC_DEFAULT_CLOCK, 16) == 0x010100000100FFFF);
    assert_true(lcc_event_range(0, 64) == UINT64_MAX);
}

static void an_own_event_is_the_node_id_and_two_bytes(void **state) {
    (void)state;
    assert_true(lcc_event_of_node(0x0A4452000001, 0x0102) == 0x0A44520000010102);
}

/* Event Identifiers S, 22 Jul 2024. */
static void well_known_events(void **state) {
    (void)state;
    assert_true(LCC_EMERGENCY_OFF == 0x010000000000FFFF);
    assert_true(LCC_EMERGENCY_OFF_CLEARED == 0x010000000000FFFE);
    assert_true(LCC_EMERGENCY_STOP == 0x010000000000FFFD);
    assert_true(LCC_EMERGENCY_STOP_CLEARED == 0x010000000000FFFC);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_range_ends_where_its_mask_does),
        cmocka_unit_test(an_own_event_is_the_node_id_and_two_bytes),
        cmocka_unit_test(well_known_events),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "io/drivers.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <string.h>

static void drivers_are_found_by_name(void **state) {
    (void)state;
    assert_string_equal(drivers_find("simulated")->name, "simulated");
    assert_null(drivers_find("simulate"));
    assert_null(drivers_find(""));
}

static void simulated_port_wants_a_simulation(void **state) {
    (void)state;
    const struct bridge_setup bridge = sim_world_bridge();
    const struct port_settings settings = {.setup = &bridge};
    struct error error = {.what = ""};
    assert_null(drivers_find("simulated")->open(&settings, NULL, &error));
    assert_string_equal(error.where, "simulation");
    struct simulation_setup wrong = sim_world_simulation();
    wrong.lift.supply_v = 0;
    const struct port_settings unsound = {.setup = &bridge, .simulation = &wrong};
    assert_null(drivers_find("simulated")->open(&unsound, NULL, &error));
    assert_non_null(strstr(error.what, "supply"));
}

static void count_change(void *context) {
    (*(unsigned *)context)++;
}

/* A command that was taken wakes the cycle in the same turn; a wrong one does not, nor does one
 * that was only tried. */
static void told_port_calls_its_host(void **state) {
    (void)state;
    const struct port_ops *ops = drivers_find("simulated");
    const struct bridge_setup bridge = sim_world_bridge();
    const struct simulation_setup simulation = sim_world_simulation();
    const struct port_settings settings = {.setup = &bridge, .simulation = &simulation};
    unsigned changes = 0;
    const struct port_host host = {.changed = count_change, .context = &changes};
    void *port = ops->open(&settings, &host, NULL);
    assert_non_null(port);
    assert_false(ops->tell(port, "contact seatd open", NULL));
    assert_int_equal(changes, 0);
    assert_false(ops->would_tell(port, "contact seatd open", NULL));
    assert_true(ops->would_tell(port, "contact seated open", NULL));
    assert_int_equal(changes, 0);
    struct bridge_inputs before;
    ops->sense(port, 0, &before);
    assert_int_equal(before.seated, LEVEL_ON);
    assert_true(ops->tell(port, "contact seated open", NULL));
    assert_int_equal(changes, 1);
    struct bridge_inputs in;
    ops->sense(port, 0, &in);
    assert_int_equal(in.seated, LEVEL_OFF);
    ops->close(port);
}

static void safe_puts_every_output_to_rest(void **state) {
    (void)state;
    const struct port_ops *ops = drivers_find("simulated");
    const struct bridge_setup bridge = sim_world_bridge();
    const struct simulation_setup simulation = sim_world_simulation();
    const struct port_settings settings = {.setup = &bridge, .simulation = &simulation};
    void *port = ops->open(&settings, NULL, NULL);
    assert_non_null(port);
    struct bridge_outputs outputs = {.lock = LOCK_DRIVE_WITHDRAWN, .lift_effort = 0.5};
    outputs.track[0].span_power = true;
    struct bridge_inputs in;
    ops->sense(port, 0, &in);
    ops->act(port, 0, &outputs);
    ops->safe(port);
    ops->sense(port, 5000000, &in);
    assert_int_equal(in.locked, LEVEL_ON);
    assert_int_equal(in.track[0].span_dead, LEVEL_ON);
    assert_true(in.current_a == 0);
    assert_null(ops->news(port));
    ops->close(port);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(drivers_are_found_by_name),
        cmocka_unit_test(simulated_port_wants_a_simulation),
        cmocka_unit_test(told_port_calls_its_host),
        cmocka_unit_test(safe_puts_every_output_to_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

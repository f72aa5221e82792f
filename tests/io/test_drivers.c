#include "io/drivers.h"
#include "support/check.h"
#include "support/house/sources.h"
#include "support/io/sim_world.h"

#include <stdio.h>
#include <string.h>

/* ---- a driver's own file, and its row */

enum { DRIVERS_MAX = 16 };

static unsigned defined;
static const struct port_ops *found[DRIVERS_MAX];

/* "const struct port_ops link_ops = {": such a driver is found by its file's name, without "_ops".
 */
static void look_for_driver(void *context, const char *path, const char *line) {
    char name[64];
    (void)context;
    if (sscanf(line, "const struct port_ops %63[a-z_] =", name) != 1) {
        return;
    }
    char *end = strstr(name, "_ops");
    assert_non_null(end);
    *end = '\0';
    if (drivers_find(name) == NULL) {
        fail_msg("%s: the driver \"%s\" has no row in daemon/io/drivers.c", path, name);
    }
    assert_true(defined < DRIVERS_MAX);
    found[defined++] = drivers_find(name);
}

static void look_into(void *context, const char *path) {
    (void)context;
    if (sources_is_c(path)) {
        sources_lines(path, look_for_driver, NULL);
    }
}

/* A name that is configured, and settings that are read under another, would be found out only by
 * the bridge that cannot start. */
struct handing {
    const char *name;
    unsigned rows;
};

static void look_for_settings(void *context, const char *path, const char *line) {
    struct handing *handing = context;
    char text[64];
    (void)path;
    snprintf(text, sizeof text, "{\"%s\", ", handing->name);
    handing->rows += strstr(line, text) != NULL;
}

static void every_driver_is_whole(const struct port_ops *ops) {
    if (ops->open == NULL || ops->sense == NULL || ops->act == NULL || ops->wake_us == NULL ||
        ops->safe == NULL || ops->close == NULL) {
        fail_msg("\"%s\" lacks a function that daemon/io/port.h says every driver has", ops->name);
    }
    if ((ops->simulate == NULL) != (ops->would_simulate == NULL)) {
        fail_msg("\"%s\": simulate and would_simulate go together (daemon/io/port.h)", ops->name);
    }
    struct handing handing = {.name = ops->name};
    sources_lines("daemon/main.c", look_for_settings, &handing);
    if (handing.rows != 1) {
        fail_msg("\"%s\": open_bridge() in daemon/main.c hands it no settings", ops->name);
    }
}

static void every_driver_has_its_row_and_all_that_is_owed(void **state) {
    (void)state;
    sources_walk("daemon/io", &(struct sources_visitor){.file = look_into});
    assert_true(defined >= 4);
    for (unsigned i = 0; i < defined; i++) {
        every_driver_is_whole(found[i]);
    }
}

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
    const struct port_settings unsound = {
        .setup = &bridge, .own = (struct port_own[]){{"simulated", &wrong}, {NULL, NULL}}};
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
    const struct port_settings settings = {
        .setup = &bridge, .own = (struct port_own[]){{"simulated", &simulation}, {NULL, NULL}}};
    unsigned changes = 0;
    const struct port_host host = {.changed = count_change, .context = &changes};
    void *port = ops->open(&settings, &host, NULL);
    assert_non_null(port);
    assert_false(ops->simulate(port, "contact seatd open", NULL));
    assert_int_equal(changes, 0);
    assert_false(ops->would_simulate(port, "contact seatd open", NULL));
    assert_true(ops->would_simulate(port, "contact seated open", NULL));
    assert_int_equal(changes, 0);
    struct bridge_inputs before;
    ops->sense(port, 0, &before);
    assert_int_equal(before.seated, LEVEL_ON);
    assert_true(ops->simulate(port, "contact seated open", NULL));
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
    const struct port_settings settings = {
        .setup = &bridge, .own = (struct port_own[]){{"simulated", &simulation}, {NULL, NULL}}};
    void *port = ops->open(&settings, NULL, NULL);
    assert_non_null(port);
    struct bridge_outputs outputs = {.lock = LOCK_DRIVE_WITHDRAWN, .lift_effort = 0.5};
    outputs.track[0].span_power = true;
    struct bridge_inputs in;
    ops->sense(port, 0, &in);
    ops->act(port, 0, &outputs);
    assert_true(ops->safe(port));
    ops->sense(port, 5000000, &in);
    assert_int_equal(in.locked, LEVEL_ON);
    assert_int_equal(in.track[0].span_dead, LEVEL_ON);
    assert_true(in.current_a == 0);
    assert_null(ops->news(port));
    assert_true(ops->simulate(port, "fault device-lost on", NULL));
    assert_false(ops->safe(port)); /* nobody there can say so */
    ops->close(port);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_driver_has_its_row_and_all_that_is_owed),
        cmocka_unit_test(drivers_are_found_by_name),
        cmocka_unit_test(simulated_port_wants_a_simulation),
        cmocka_unit_test(told_port_calls_its_host),
        cmocka_unit_test(safe_puts_every_output_to_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

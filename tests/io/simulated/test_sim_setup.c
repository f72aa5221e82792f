/* Each mistake in the simulation's settings is refused with words of its own. */
#include "io/simulated/sim_setup.h"
#include "io/simulated/world/sim.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <string.h>

static struct simulation_setup setup;
static struct bridge_setup bridge;

/* A sound world with one train and one fault, for a mistake to be made in. */
static void begin(void) {
    bridge = sim_world_bridge();
    setup = sim_world_simulation();
    setup.trains = 1;
    setup.train[0] = sim_world_train();
    setup.faults = 1;
    memcpy(setup.fault[0].words, "jam 0.5", sizeof "jam 0.5");
}

static void assert_refused(const char *part) {
    static struct sim sim;
    struct error error = {.what = ""};
    assert_false(sim_begin(&sim, &bridge, &setup, &error));
    if (strstr(error.what, part) == NULL) {
        fail_msg("wanted \"%s\", found \"%s\"", part, error.what);
    }
    begin();
}

static void sound_settings_are_taken(void **state) {
    (void)state;
    static struct sim sim;
    begin();
    assert_true(sim_begin(&sim, &bridge, &setup, NULL));
    bridge.is_hand_lifted = true;
    memset(&setup.lift, 0, sizeof setup.lift); /* nobody reads a motor that is not there */
    assert_true(sim_begin(&sim, &bridge, &setup, NULL));
}

static void mistakes_are_refused(void **state) {
    (void)state;
    static const struct {
        double *place;
        double value;
        const char *part;
    } cases[] = {
        {&setup.lift.supply_v, 0, "supply"},
        {&setup.lift.supply_v, NAN, "supply"},
        {&setup.lift.motor.resistance_ohm, 0, "resistance"},
        {&setup.lift.drive.pinion_radius_m, -1, "pinion"},
        {&setup.lift.lift.travel, 0, "travel"},
        {&setup.lift.balance.mass_kg, -1, "mass"},
        {&setup.lift.rotor_inertia_kg_m2, -1, "rotor"},
        {&setup.lift.friction_static, 1, "friction"},
        {&setup.lift.friction_running, -1, "friction"},
        {&setup.lift.brake_torque_nm, -1, "brake"},
        {&setup.lift.end_stop_frac, 1, "end stop"},
        {&setup.lift.end_stop_frac, 1.4, "end stop"}, /* past the strut's dead centre */
        {&setup.lift.start_frac, 1.1, "start"},
        {&setup.lift.position_noise_frac, -1, "sensor"},
        {&setup.lift.current_quantum_a, INFINITY, "sensor"},
        {&setup.contacts.open.hysteresis_frac, -0.1, "hysteresis"},
        {&setup.track[0].stop_m[1], -1, "sections"},
        {&setup.track[0].span_m, NAN, "span's length"},
        {&setup.train[0].length_m, 0, "train's length"},
        {&setup.train[0].speed_m_s, INFINITY, "train's length"},
        {&setup.train[0].braking_m_s2, -1, "train's length"},
        {&setup.train[0].pickup_m, 9, "pickup"},
        {&setup.train[0].start_before_m, -1, "before its home signal"},
    };
    begin();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        *cases[i].place = cases[i].value;
        assert_refused(cases[i].part);
    }
}

static void names_and_counts_are_checked(void **state) {
    (void)state;
    begin();
    setup.trains = SIMULATION_TRAINS_MAX + 1;
    assert_refused("at most");
    setup.faults = SIMULATION_FAULTS_MAX + 1;
    assert_refused("at most");
    setup.train[0].name[0] = '\0';
    assert_refused("name");
    setup.trains = 2;
    setup.train[1] = setup.train[0];
    assert_refused("same name");
    memset(setup.track[0].name, 'x', sizeof setup.track[0].name);
    assert_refused("names of tracks");
    setup.train[0].track = 1;
    assert_refused("end of a track that is used");
    bridge.track[0].end[0].is_used = false;
    assert_refused("end of a track that is used");
    memcpy(setup.fault[0].words, "jam 7", sizeof "jam 7");
    assert_refused("0 to 1.1");
    memcpy(setup.fault[0].words, "jam 0.5 now", sizeof "jam 0.5 now");
    assert_refused("fault number 1");
    memset(setup.fault[0].words, ' ', sizeof setup.fault[0].words);
    assert_refused("fault number 1");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sound_settings_are_taken),
        cmocka_unit_test(mistakes_are_refused),
        cmocka_unit_test(names_and_counts_are_checked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

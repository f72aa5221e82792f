#include "io/simulated/world/sim_sensor.h"
#include "support/check.h"

#include <math.h>

/* Mean 0 and standard deviation 1 of a normal deviate, within five standard errors of 20000 draws.
 */
static void noise_has_the_deviation_it_is_given(void **state) {
    (void)state;
    enum { DRAWS = 20000 };
    double sum = 0, squares = 0;
    for (uint64_t i = 0; i < DRAWS; i++) {
        double noise = sim_sensor_noise(7, SIM_SENSOR_POSITION, i * 5000);
        sum += noise;
        squares += noise * noise;
    }
    assert_true(fabs(sum / DRAWS) < 5 / sqrt(DRAWS));
    assert_true(fabs(sqrt(squares / DRAWS) - 1) < 5 / sqrt(2.0 * DRAWS));
}

static void noise_is_told_by_seed_channel_and_time_alone(void **state) {
    (void)state;
    double noise = sim_sensor_noise(7, SIM_SENSOR_POSITION, 5000);
    assert_true(noise == sim_sensor_noise(7, SIM_SENSOR_POSITION, 5000));
    assert_true(noise != sim_sensor_noise(8, SIM_SENSOR_POSITION, 5000));
    assert_true(noise != sim_sensor_noise(7, SIM_SENSOR_CURRENT, 5000));
    assert_true(noise != sim_sensor_noise(7, SIM_SENSOR_POSITION, 10000));
}

static void reading_has_noise_and_steps_as_set(void **state) {
    (void)state;
    assert_true(fabs(sim_sensor_read(0.1237, 0, 0.01, 1, SIM_SENSOR_POSITION, 0) - 0.12) < 1e-12);
    assert_true(sim_sensor_read(0.1237, 0, 0, 1, SIM_SENSOR_POSITION, 0) == 0.1237);
    double noise = sim_sensor_noise(1, SIM_SENSOR_POSITION, 0);
    double reading = sim_sensor_read(0.5, 0.01, 0, 1, SIM_SENSOR_POSITION, 0);
    assert_true(fabs(reading - 0.5 - 0.01 * noise) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(noise_has_the_deviation_it_is_given),
        cmocka_unit_test(noise_is_told_by_seed_channel_and_time_alone),
        cmocka_unit_test(reading_has_noise_and_steps_as_set),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

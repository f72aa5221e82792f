#include "io/simulated/sim_run.h"
#include "support/check.h"

#include <math.h>

static const double step_s = 0.005;

static double slow_to_a_stand(double speed, double rate, double dt_s) {
    struct sim_run run = {.speed_m_s = speed};
    for (int i = 0; run.speed_m_s > 0 && i < 1000000; i++) {
        sim_run_slow(&run, rate, dt_s);
    }
    return run.along_m;
}

static void braking_takes_v_squared_over_2a(void **state) {
    (void)state;
    /* v^2 / 2a, first principles; a dead train's rolling resistance 0.004 g (an assumed value) */
    static const struct {
        double speed, rate, distance_m;
    } cases[] = {{0.25, 0.3, 0.104166667},
                 {0.5, 0.3, 0.416666667},
                 {1, 0.3, 1.666666667},
                 {0.5, 0.0392266, 3.18661317}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (double dt = step_s; dt < 20; dt *= 7) { /* whatever the step */
            double distance = slow_to_a_stand(cases[i].speed, cases[i].rate, dt);
            assert_true(fabs(distance - cases[i].distance_m) < 1e-8);
        }
    }
}

/* Stands where it was to, never beyond, and never brakes harder than it can. */
static void crew_stops_at_the_mark(void **state) {
    (void)state;
    for (double room = 0.5; room < 3; room += 0.37) {
        struct sim_run run = {.speed_m_s = 0.5};
        for (int i = 0; i < 20000; i++) {
            double before = run.speed_m_s;
            sim_run_drive(&run, 0.5, 0.3, 0.3, fmax(room - run.along_m, 0), step_s);
            assert_true(run.speed_m_s >= before - 0.3 * step_s - 1e-12);
        }
        assert_true(run.speed_m_s == 0);
        assert_true(run.along_m <= room + 1e-9 && run.along_m > room - 2e-3);
    }
}

static void crew_without_room_overshoots_by_what_is_missing(void **state) {
    (void)state;
    struct sim_run run = {.speed_m_s = 0.5};
    for (int i = 0; i < 1000; i++) {
        sim_run_drive(&run, 0.5, 0.3, 0.3, fmax(0.2 - run.along_m, 0), step_s);
    }
    assert_true(run.speed_m_s == 0);
    assert_true(fabs(run.along_m - 0.416666667) < 3e-3); /* v^2 / 2a, all of it */
}

static void open_throttle_reaches_its_speed(void **state) {
    (void)state;
    struct sim_run run = {0};
    for (int i = 0; i < 1000; i++) {
        sim_run_drive(&run, 0.5, 0.1, 0.3, INFINITY, step_s);
    }
    assert_true(fabs(run.along_m - 1.25) < 1e-6); /* v^2 / 2a = a t^2 / 2 with t = 5 s */
    assert_true(fabs(run.speed_m_s - 0.5) < 1e-9);
    sim_run_drive(&run, 0.5, 0.1, 0.3, INFINITY, 1);
    assert_true(run.speed_m_s == 0.5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(braking_takes_v_squared_over_2a),
        cmocka_unit_test(crew_stops_at_the_mark),
        cmocka_unit_test(crew_without_room_overshoots_by_what_is_missing),
        cmocka_unit_test(open_throttle_reaches_its_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

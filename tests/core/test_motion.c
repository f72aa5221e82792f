/* Where the span is, how hard it is driven, and when its movement is wrong. */
#include "core/motion.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

enum { SECOND_US = 1000000 };

struct scene {
    struct bridge_setup setup;
    struct motion_state motion;
    struct bridge_contacts contacts;
    struct bridge_inputs inputs;
};

static struct scene measured_scene(void) {
    struct scene s = {.setup = puppet_setup()};
    s.contacts.within_travel.believed = LEVEL_ON;
    return s;
}

static struct scene estimated_scene(void) {
    struct scene s = measured_scene();
    s.setup.motion.has_position = false;
    s.setup.motion.has_current = false;
    return s;
}

static void observe(struct scene *s, uint32_t dt_us) {
    motion_observe(&s->setup.motion, &s->motion, &s->contacts, &s->inputs, dt_us);
}

static void observe_at(struct scene *s, double position_frac, uint32_t dt_us) {
    s->inputs.position_frac = position_frac;
    observe(s, dt_us);
}

static double command(struct scene *s, int direction, uint32_t dt_us) {
    return motion_command(&s->setup.motion, &s->motion, direction, dt_us);
}

static enum bridge_fault watch(struct scene *s, uint32_t dt_us) {
    return motion_watch(&s->setup, &s->motion, &s->contacts, &s->inputs, &(struct motion_duty){0},
                        dt_us);
}

static enum bridge_fault watch_still(struct scene *s, uint32_t dt_us) {
    return motion_watch(&s->setup, &s->motion, &s->contacts, &s->inputs,
                        &(struct motion_duty){.is_held_still = true}, dt_us);
}

static enum bridge_fault watch_pushing(struct scene *s, uint32_t dt_us) {
    return motion_watch(&s->setup, &s->motion, &s->contacts, &s->inputs,
                        &(struct motion_duty){.is_pushing = true}, dt_us);
}

static double jog(struct scene *s, int direction, double effort_most) {
    return motion_creep(&s->setup.motion, &s->motion, direction, effort_most, 0);
}

static void rest_between_jogs(struct scene *s) {
    const struct motion_duty jogged = {.is_jogged = true};
    command(s, 0, 0);
    motion_watch(&s->setup, &s->motion, &s->contacts, &s->inputs, &jogged, 1000 * SECOND_US);
}

/* ---- the profile */

/* The leaf of the worked profile: D 80 deg, fast 2 deg/s, creep 0.3 deg/s, ramps 0.5 deg/s2, slow
 * zone 3 deg. In fractions of the travel. */
static const double travel_deg = 80;

static struct scene profile_scene(void) {
    struct scene s = measured_scene();
    s.setup.motion.full_speed_frac_s = 2 / travel_deg;
    s.setup.motion.creep_speed_frac_s = 0.3 / travel_deg;
    s.setup.motion.acceleration_frac_s2 = 0.5 / travel_deg;
    s.setup.motion.deceleration_frac_s2 = 0.5 / travel_deg;
    s.setup.motion.slow_zone_seat_frac = 3 / travel_deg;
    s.setup.motion.slow_zone_open_frac = 3 / travel_deg;
    return s;
}

struct run {
    double full_s;      /* when full speed was reached */
    double braking_s;   /* when braking began */
    double braking_deg; /* where, counted from the start of the movement */
    double creep_s;     /* when the speed had come down to creep */
    double creep_deg;
    double end_s; /* when the far end was reached */
};

/* A lift that does exactly as told, in steps of 1 ms. */
static struct run run_profile(struct scene *s, int direction) {
    const double full = s->setup.motion.full_speed_frac_s;
    const double creep = s->setup.motion.creep_speed_frac_s;
    struct run run = {0};
    double gone_frac = 0;
    for (unsigned ms = 0; gone_frac < 1; ms++) {
        double t_s = ms / 1e3;
        assert_true(ms < 100000);
        observe_at(s, direction > 0 ? gone_frac : 1 - gone_frac, 1000);
        command(s, direction, 1000);
        double speed = s->motion.speed_frac_s;
        gone_frac += speed * 1e-3;
        if (run.full_s == 0 && speed >= full) {
            run.full_s = t_s;
        }
        if (run.full_s > 0 && run.braking_s == 0 && speed < full) {
            run.braking_s = t_s;
            run.braking_deg = gone_frac * travel_deg;
        }
        if (run.braking_s > 0 && run.creep_s == 0 && speed <= creep * 1.0001) {
            run.creep_s = t_s;
            run.creep_deg = gone_frac * travel_deg;
        }
        run.end_s = t_s;
    }
    return run;
}

/* Full speed after 4 s, cruise 34.545 s, braking from 73.09 deg on for 3.4 s, then 3 deg of creep
 * at 0.3 deg/s: derived here, two ways (closed form; stepwise integration). The core creeps until
 * the end contact makes, so the last stop of 0.6 s from creep is not part of it. */
static void profile_is_the_worked_one_both_ways(void **state) {
    (void)state;
    for (int direction = -1; direction <= 1; direction += 2) {
        struct scene s = profile_scene();
        struct run run = run_profile(&s, direction);
        assert_near(run.full_s, 4, 0.01);
        assert_near(run.braking_s, 4 + 34.545, 0.01);
        assert_near(run.braking_deg, 73.09, 0.01);
        assert_near(run.creep_s, 4 + 34.545 + 3.4, 0.05);
        assert_near(run.creep_deg, 77, 0.01);
        assert_near(run.end_s, 4 + 34.545 + 3.4 + 3 / 0.3, 0.05);
    }
}

/* Too short for full speed: the peak is sqrt((2ab(D - z) + a c^2)/(a + b)), here for 5 deg before
 * the zone: sqrt((2 * 0.25 * 5 + 0.5 * 0.09)/1) = 1.595 deg/s; derived here, two ways (closed form;
 * stepwise integration). */
static void short_way_lowers_the_peak(void **state) {
    (void)state;
    struct scene s = profile_scene();
    double deg = travel_deg - 8;
    double peak_deg_s = 0;
    for (unsigned ms = 0; deg < travel_deg; ms++) {
        assert_true(ms < 100000);
        observe_at(&s, deg / travel_deg, 1000);
        command(&s, 1, 1000);
        double speed_deg_s = s.motion.speed_frac_s * travel_deg;
        peak_deg_s = fmax(peak_deg_s, speed_deg_s);
        deg += speed_deg_s * 1e-3;
    }
    assert_near(peak_deg_s, sqrt(2 * 0.25 * 5 + 0.5 * 0.09), 0.002);
}

/* Creep at 10 to 20 % of full speed: common practice, no source. */
static void slow_zone_is_crossed_at_creep(void **state) {
    (void)state;
    struct scene s = profile_scene();
    observe_at(&s, 78 / travel_deg, 0);
    command(&s, 1, 0);
    for (unsigned i = 0; i < 1000; i++) {
        command(&s, 1, 10000);
    }
    double share = s.motion.speed_frac_s / s.setup.motion.full_speed_frac_s;
    assert_near(share, 0.15, 1e-9);
    assert_true(share >= 0.1 && share <= 0.2);
}

static void effort_runs_from_start_to_full_with_the_speed(void **state) {
    (void)state;
    struct scene s = measured_scene(); /* efforts 0.1 to 0.5, full speed after 2 s */
    observe_at(&s, 0.5, 0);
    assert_near(command(&s, 1, 5 * SECOND_US), 0.1, 1e-12); /* the time before: no ramp */
    assert_near(command(&s, 1, SECOND_US), 0.3, 1e-12);
    assert_near(command(&s, 1, SECOND_US), 0.5, 1e-12);
    assert_near(command(&s, 1, SECOND_US), 0.5, 1e-12);
    assert_near(command(&s, -1, SECOND_US), -0.1, 1e-12); /* reversed: from standstill */
    assert_near(command(&s, -1, SECOND_US), -0.3, 1e-12);
    assert_near(command(&s, 0, SECOND_US), 0, 0);
    assert_int_equal(s.motion.direction, 0);
    assert_near(s.motion.speed_frac_s, 0, 0);
}

/* ---- the position */

static void measured_position_is_taken_as_it_is(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, NAN, 0);
    assert_false(s.motion.is_known);
    observe_at(&s, INFINITY, 0);
    assert_false(s.motion.is_known);
    observe_at(&s, -0.01, 0);
    assert_true(s.motion.is_known);
    assert_near(s.motion.position_frac, -0.01, 0);
    s.contacts.open.believed = LEVEL_ON; /* a contact does not bend a measurement */
    observe_at(&s, 0.4, 0);
    assert_near(s.motion.position_frac, 0.4, 0);
    observe_at(&s, NAN, 0); /* lost: the last one stays */
    assert_near(s.motion.position_frac, 0.4, 0);
}

static void speed_is_measured_over_a_window(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0.3, 10 * SECOND_US); /* the first reading is no speed */
    assert_near(s.motion.measured_frac_s, 0, 0);
    s.motion.window_s = 0;
    observe_at(&s, 0.305, 100000);
    observe_at(&s, 0.31, 100000);
    assert_near(s.motion.measured_frac_s, 0, 0); /* 0.2 s: too short to tell */
    observe_at(&s, 0.3125, 50000);
    assert_near(s.motion.measured_frac_s, 0.05, 1e-9);
    observe_at(&s, 0.2925, 500000);
    assert_near(s.motion.measured_frac_s, -0.04, 1e-9);
}

static void estimate_follows_the_commanded_speed_and_stays_within_the_travel(void **state) {
    (void)state;
    struct scene s = estimated_scene();
    s.motion = (struct motion_state){
        .position_frac = 0.5, .is_known = true, .direction = 1, .speed_frac_s = 0.04};
    observe(&s, SECOND_US);
    assert_near(s.motion.position_frac, 0.54, 1e-12);
    s.motion.direction = -1;
    observe(&s, 2 * SECOND_US);
    assert_near(s.motion.position_frac, 0.46, 1e-12);
    observe(&s, 60 * SECOND_US);
    assert_near(s.motion.position_frac, 0, 0);
    s.motion.direction = 1;
    observe(&s, 60 * SECOND_US);
    assert_near(s.motion.position_frac, 1, 0);
}

static void contacts_anchor_the_estimate(void **state) {
    (void)state;
    static const struct {
        size_t contact; /* in struct bridge_contacts */
        double before, want;
        bool is_known;
    } cases[] = {
        {offsetof(struct bridge_contacts, seated), 0.4, 0, true},
        {offsetof(struct bridge_contacts, open), 0.4, 1, true},
        {offsetof(struct bridge_contacts, nearly_seated), 0.4, 0.06, false},
        {offsetof(struct bridge_contacts, nearly_seated), 0.02, 0.02, false},
        {offsetof(struct bridge_contacts, nearly_open), 0.4, 0.94, false},
        {offsetof(struct bridge_contacts, nearly_open), 0.97, 0.97, false},
        {offsetof(struct bridge_contacts, within_travel), 0.4, 0.4, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = estimated_scene();
        s.motion.position_frac = cases[i].before;
        ((struct debounced *)((char *)&s.contacts + cases[i].contact))->believed = LEVEL_ON;
        observe(&s, 0);
        assert_near(s.motion.position_frac, cases[i].want, 1e-12);
        assert_int_equal(s.motion.is_known, cases[i].is_known);
    }
}

static void span_of_unknown_place_creeps_all_the_way(void **state) {
    (void)state;
    struct scene s;
    for (int direction = 1; direction >= -1; direction -= 2) {
        s = estimated_scene();
        for (unsigned i = 0; i < 1000; i++) {
            observe(&s, 10000);
            command(&s, direction, 10000);
            assert_true(s.motion.speed_frac_s <= s.setup.motion.creep_speed_frac_s);
        }
    }
    s.contacts.open.believed = LEVEL_ON; /* now it is known: full speed after the ramp */
    observe(&s, 0);
    command(&s, -1, 10 * SECOND_US);
    assert_near(s.motion.speed_frac_s, s.setup.motion.full_speed_frac_s, 1e-12);
}

/* ---- the watches */

static void stall_current_must_last_to_be_a_stall(void **state) {
    (void)state;
    struct scene s = measured_scene(); /* 5 A for 0.5 s */
    observe_at(&s, 0.5, 0);
    command(&s, 1, 0);
    s.inputs.current_a = 5;
    assert_int_equal(watch(&s, 100000), FAULT_NONE);
    assert_int_equal(watch(&s, 499999), FAULT_NONE);
    s.inputs.current_a = 4.99;
    assert_int_equal(watch(&s, 100000), FAULT_NONE);
    s.inputs.current_a = 5;
    assert_int_equal(watch(&s, 400000), FAULT_NONE);
    assert_int_equal(watch(&s, 500000), FAULT_STALL);
}

static void stall_is_not_looked_for_at_rest_in_the_push_or_without_a_sensor(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0, 0);
    s.inputs.current_a = 9;
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    assert_int_equal(watch(&s, 600000), FAULT_NONE); /* at rest */
    command(&s, -1, 0);
    assert_int_equal(watch(&s, 600000), FAULT_NONE); /* begins to count only now */
    for (unsigned i = 0; i < 10; i++) {
        assert_int_equal(watch_pushing(&s, 600000), FAULT_NONE);
    }
    s.setup.motion.has_current = false;
    assert_int_equal(watch(&s, 600000), FAULT_NONE);
    assert_int_equal(watch(&s, 600000), FAULT_NONE);
}

static void rest_ends_a_stall_that_had_begun(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0.5, 0);
    s.inputs.current_a = 9;
    command(&s, 1, 0);
    watch(&s, 0);
    watch(&s, 400000);
    command(&s, 0, 0);
    watch(&s, 0);
    command(&s, 1, 0);
    assert_int_equal(watch(&s, 400000), FAULT_NONE);
    assert_int_equal(watch(&s, 500000), FAULT_STALL);
}

/* Going up 1 A to 3 A from seat to open, with the square of the way; going down 4 A throughout; 0.5
 * A more for 1 s binds. */
static struct scene binding_scene(void) {
    struct scene s = measured_scene();
    for (int i = 0; i < MOTION_PLACES; i++) {
        double way = i / (MOTION_PLACES - 1.0);
        s.setup.motion.expected_a[0][i] = 1 + 2 * way * way;
        s.setup.motion.expected_a[1][i] = 4;
    }
    s.setup.motion.binding_a = 0.5;
    s.setup.motion.binding_us = SECOND_US;
    s.setup.motion.stall_a = 9;
    s.setup.motion.no_movement_us = 100 * SECOND_US;
    return s;
}

/* Whether this current, taken here for long enough, is told as binding. */
static bool binds_at(double position_frac, int direction, double current_a) {
    struct scene s = binding_scene();
    observe_at(&s, position_frac, 0);
    command(&s, direction, 0);
    s.inputs.current_a = current_a;
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE); /* begins to count */
    assert_int_equal(watch(&s, SECOND_US - 1), FAULT_NONE);
    return watch(&s, 1) == FAULT_BINDING;
}

static void binding_is_more_current_than_the_place_and_the_way_need(void **state) {
    (void)state;
    static const struct {
        double position_frac;
        int direction;
        double expected_a;
    } rows[] = {{0, 1, 1},
                {0.5, 1, 1.5},
                {1, 1, 3},
                /* 0.48 of the way from place 8 to place 9 of 16: 1.5 + 0.48 * (1.6328125 - 1.5) */
                {0.53, 1, 1.56375},
                {1.02, 1, 3},
                {-0.02, 1, 1},
                {0.5, -1, 4},
                {0, -1, 4}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double limit_a = rows[i].expected_a + 0.5;
        assert_false(binds_at(rows[i].position_frac, rows[i].direction, limit_a - 1e-9));
        assert_true(binds_at(rows[i].position_frac, rows[i].direction, limit_a + 1e-9));
    }
}

static void binding_must_last_and_is_not_looked_for_elsewhere(void **state) {
    (void)state;
    struct scene s = binding_scene();
    observe_at(&s, 0.5, 0);
    s.inputs.current_a = 8;
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    assert_int_equal(watch(&s, 2 * SECOND_US), FAULT_NONE); /* at rest */
    command(&s, 1, 0);
    assert_int_equal(watch(&s, 2 * SECOND_US), FAULT_NONE); /* begins to count only now */
    assert_int_equal(watch(&s, SECOND_US / 2), FAULT_NONE);
    s.inputs.current_a = 2;
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
    s.inputs.current_a = 8;
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
    command(&s, 0, 0); /* rest ends what had begun */
    watch(&s, 0);
    command(&s, 1, 0);
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
    for (unsigned i = 0; i < 3; i++) { /* the push */
        assert_int_equal(watch_pushing(&s, SECOND_US), FAULT_NONE);
    }
    s.motion.is_known = false; /* nobody knows what this place needs */
    watch(&s, SECOND_US);
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
    s.motion.is_known = true;
    s.setup.motion.binding_us = 0; /* not watched */
    watch(&s, SECOND_US);
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
}

/* Above both limits: the lift stands rather than binds. */
static void stall_comes_before_binding(void **state) {
    (void)state;
    struct scene s = binding_scene();
    observe_at(&s, 0.5, 0);
    command(&s, 1, 0);
    s.inputs.current_a = 9;
    watch(&s, 0);
    assert_int_equal(watch(&s, SECOND_US), FAULT_STALL);
}

static void driven_span_must_move(void **state) {
    (void)state;
    for (int direction = -1; direction <= 1; direction += 2) {
        struct scene s = measured_scene(); /* 0.004 in 2 s */
        double at = 0.5;
        observe_at(&s, at, 0);
        command(&s, direction, 0);
        for (unsigned i = 0; i < 10; i++) { /* moving enough: never */
            at += direction * 0.004001;
            observe_at(&s, at, SECOND_US);
            assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
        }
        observe_at(&s, at + direction * 0.003, SECOND_US);
        assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
        observe_at(&s, at + direction * 0.0039, SECOND_US);
        assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
        assert_int_equal(watch(&s, SECOND_US), FAULT_NO_MOVEMENT);
    }
}

/* A motor wired the wrong way round. */
static void moving_the_wrong_way_is_no_movement(void **state) {
    (void)state;
    for (int direction = -1; direction <= 1; direction += 2) {
        struct scene s = measured_scene();
        observe_at(&s, 0.5, 0);
        command(&s, direction, 0);
        watch(&s, 0);
        observe_at(&s, 0.5 - direction * 0.01, SECOND_US);
        assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
        observe_at(&s, 0.5 - direction * 0.02, SECOND_US);
        assert_int_equal(watch(&s, SECOND_US), FAULT_NO_MOVEMENT);
    }
}

/* A stalled motor, stall 0.5 s, held by taps of less: each reads little in its first look. */
static void jogs_do_not_hold_a_stalled_motor(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0.5, 0);
    s.setup.motion.no_movement_us = UINT32_MAX; /* the other guard */
    unsigned taps = 0;
    for (enum bridge_fault fault = FAULT_NONE; fault == FAULT_NONE; taps++) {
        assert_true(taps < 3);
        s.inputs.current_a = 0;
        jog(&s, 1, 0);
        watch(&s, 10000);
        s.inputs.current_a = 6;
        watch(&s, 10000);
        fault = watch(&s, 300000);
        assert_true(fault == FAULT_NONE || fault == FAULT_STALL);
        rest_between_jogs(&s);
    }
    assert_int_equal(taps, 2);
}

/* A current that is high now and then is none that stays at its limit. */
static void stall_ends_with_movement_or_a_low_current_as_long_as_itself(void **state) {
    (void)state;
    for (int moves = 0; moves <= 1; moves++) {
        struct scene s = measured_scene();
        observe_at(&s, 0.5, 0);
        command(&s, 1, 0);
        s.inputs.current_a = 6;
        watch(&s, 0);
        watch(&s, 400000);
        s.inputs.current_a = 1;
        watch(&s, 0);
        observe_at(&s, moves ? 0.51 : 0.5, 0);
        watch(&s, moves ? 0 : 499999);
        struct scene soon = s;
        watch(&s, moves ? 0 : 1);
        s.inputs.current_a = soon.inputs.current_a = 6;
        watch(&s, 0);
        assert_int_equal(watch(&s, 400000), FAULT_NONE);
        assert_int_equal(watch(&s, 100000), FAULT_STALL);
        watch(&soon, 0);
        assert_int_equal(watch(&soon, 100000), moves ? FAULT_NONE : FAULT_STALL);
    }
}

/* Driven up for 1.9 s of the 2 s without movement, and at rest again. */
static struct scene nearly_too_still(void) {
    struct scene s = measured_scene();
    observe_at(&s, 0.5, 0);
    command(&s, 1, 0);
    watch(&s, 0);
    watch(&s, 1900000);
    command(&s, 0, 0);
    watch(&s, 0);
    return s;
}

static void rest_as_long_as_the_watch_ends_a_no_movement_that_had_begun(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    watch(&s, 1999999);
    struct scene sooner = s;
    watch(&s, 1);
    command(&s, 1, 0);
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    assert_int_equal(watch(&s, 1900000), FAULT_NONE);
    assert_int_equal(watch(&s, 100000), FAULT_NO_MOVEMENT);

    command(&sooner, 1, 0);
    assert_int_equal(watch(&sooner, 0), FAULT_NONE);
    assert_int_equal(watch(&sooner, 100000), FAULT_NO_MOVEMENT);
}

static void no_rest_between_jogs_ends_it(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    rest_between_jogs(&s);
    jog(&s, 1, 0);
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    assert_int_equal(watch(&s, 99999), FAULT_NONE);
    assert_int_equal(watch(&s, 1), FAULT_NO_MOVEMENT);
}

/* Tapping up and down in turn does not hold it either: each way keeps what it has. */
static void jogs_the_other_way_do_not_end_it(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    rest_between_jogs(&s);
    jog(&s, -1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 1900000), FAULT_NONE);
    rest_between_jogs(&s);
    struct scene down = s;
    jog(&s, 1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 100000), FAULT_NO_MOVEMENT);
    jog(&down, -1, 0);
    watch(&down, 0);
    assert_int_equal(watch(&down, 100000), FAULT_NO_MOVEMENT);
}

/* ... but movement either way does, of both. */
static void movement_ends_what_both_ways_have_kept(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    rest_between_jogs(&s);
    jog(&s, -1, 0);
    watch(&s, 0);
    observe_at(&s, 0.49, 0);
    assert_int_equal(watch(&s, 100000), FAULT_NONE);
    rest_between_jogs(&s);
    jog(&s, 1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 1900000), FAULT_NONE);
}

/* Taps that are over before creep is reached count by the way they were to go: ten of them in the
 * time of one at creep. */
static void short_jogs_count_by_the_way_they_were_to_go(void **state) {
    (void)state;
    struct scene s = measured_scene(); /* creep 0.01, acceleration 0.02 a second */
    const struct motion_duty jogged = {.is_jogged = true};
    unsigned steps = 0;
    observe_at(&s, 0.5, 0);
    enum bridge_fault fault = FAULT_NONE;
    while (fault == FAULT_NONE) { /* 0.1 s each, at 0, then 0.001 a second: a twentieth of creep */
        motion_creep(&s.setup.motion, &s.motion, 1, 0, 0);
        for (unsigned i = 0; i < 2 && fault == FAULT_NONE; i++) {
            fault = motion_watch(&s.setup, &s.motion, &s.contacts, &s.inputs, &jogged, 50000);
            motion_creep(&s.setup.motion, &s.motion, 1, 0, 50000);
        }
        rest_between_jogs(&s);
        steps++;
    }
    assert_int_equal(fault, FAULT_NO_MOVEMENT);
    assert_in_range(steps, 400, 401); /* 2 s of creep; 0.05 s at a tenth of creep each */

    s = measured_scene(); /* a key that is held: as any drive */
    observe_at(&s, 0.5, 0);
    motion_creep(&s.setup.motion, &s.motion, 1, 0, 0);
    motion_creep(&s.setup.motion, &s.motion, 1, 0, SECOND_US);
    motion_watch(&s.setup, &s.motion, &s.contacts, &s.inputs, &jogged, 0);
    fault = motion_watch(&s.setup, &s.motion, &s.contacts, &s.inputs, &jogged, 2 * SECOND_US);
    assert_int_equal(fault, FAULT_NO_MOVEMENT);
}

/* Who looks for the least effort that moves the span tries harder each time, and comes to an end.
 */
static void jog_that_tries_harder_is_given_its_time_anew(void **state) {
    (void)state;
    static const struct {
        double first, then;
        bool is_anew;
    } cases[] = {
        {0.05, 0.06, true},
        {0.05, 0.0509, false},
        {0.05, 0.05, false},
        {0.06, 0.05, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = measured_scene();
        observe_at(&s, 0.5, 0);
        jog(&s, 1, cases[i].first);
        watch(&s, 0);
        watch(&s, 1900000);
        rest_between_jogs(&s);
        jog(&s, 1, cases[i].then);
        watch(&s, 0);
        assert_int_equal(watch(&s, 100000), cases[i].is_anew ? FAULT_NONE : FAULT_NO_MOVEMENT);
    }
}

static void acknowledged_watches_begin_anew(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    motion_forget_watches(&s.motion);
    command(&s, 1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 1999999), FAULT_NONE);
    assert_int_equal(watch(&s, 1), FAULT_NO_MOVEMENT);
}

/* What settles after a rest that ended the watch is no movement of the new drive. */
static void movement_counts_from_where_the_drive_began(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0.5, 0);
    command(&s, 1, 0);
    watch(&s, 0);
    command(&s, 0, 0);
    observe_at(&s, 0.503, SECOND_US); /* it settled a little */
    watch(&s, 0);
    watch(&s, 2 * SECOND_US);
    command(&s, 1, 0);
    watch(&s, 0);
    observe_at(&s, 0.505, SECOND_US); /* 0.005 from where it was, 0.002 from where it began */
    assert_int_equal(watch(&s, SECOND_US), FAULT_NONE);
    assert_int_equal(watch(&s, SECOND_US), FAULT_NO_MOVEMENT);
}

/* ... but within one they add up over short rests. */
static void movement_adds_up_over_short_rests(void **state) {
    (void)state;
    struct scene s = nearly_too_still();
    observe_at(&s, 0.503, 0);
    command(&s, 1, 0);
    watch(&s, 0);
    observe_at(&s, 0.505, 0); /* 0.005 from where it began at first */
    assert_int_equal(watch(&s, 100000), FAULT_NONE);
}

static void span_without_sensor_must_leave_the_contact_it_moves_away_from(void **state) {
    (void)state;
    for (int direction = -1; direction <= 1; direction += 2) {
        struct scene s = estimated_scene();
        struct debounced *behind = direction > 0 ? &s.contacts.seated : &s.contacts.open;
        struct debounced *ahead = direction > 0 ? &s.contacts.open : &s.contacts.seated;
        command(&s, direction, 0);
        ahead->believed = LEVEL_ON;
        watch(&s, 0);
        assert_int_equal(watch(&s, 3 * SECOND_US), FAULT_NONE);
        ahead->believed = LEVEL_OFF;
        behind->believed = LEVEL_ON;
        watch(&s, 0);
        assert_int_equal(watch(&s, 1999999), FAULT_NONE);
        assert_int_equal(watch(&s, 1), FAULT_NO_MOVEMENT);
    }
}

/* Jogged down on its seat nothing tells whether it moves: what was counted on the way up stays. */
static void jog_against_the_seat_is_no_sign_of_movement(void **state) {
    (void)state;
    struct scene s = estimated_scene();
    s.contacts.seated.believed = LEVEL_ON;
    jog(&s, 1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 1900000), FAULT_NONE);
    rest_between_jogs(&s);
    jog(&s, -1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 10 * SECOND_US), FAULT_NONE);
    rest_between_jogs(&s);
    jog(&s, 1, 0);
    watch(&s, 0);
    assert_int_equal(watch(&s, 100000), FAULT_NO_MOVEMENT);
}

static void no_movement_is_not_looked_for_in_the_push(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0, 0);
    command(&s, -1, 0);
    for (unsigned i = 0; i < 5; i++) {
        assert_int_equal(watch_pushing(&s, SECOND_US), FAULT_NONE);
    }
}

static void span_may_not_run_ahead_of_its_drive(void **state) {
    (void)state;
    struct scene s = measured_scene(); /* 0.04 per second, ratio 1.2 */
    observe_at(&s, 0.5, 0);
    command(&s, -1, 0);
    s.motion.measured_frac_s = -0.0479;
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    s.motion.measured_frac_s = -0.0481;
    assert_int_equal(watch(&s, 0), FAULT_OVERSPEED);
    s.motion.measured_frac_s = 0.0481;
    assert_int_equal(watch(&s, 0), FAULT_OVERSPEED);
}

static void span_stops_beyond_its_travel_and_may_come_back(void **state) {
    (void)state;
    static const struct {
        bool has_contact;
        enum level within;
        bool is_known;
        double position_frac;
        int direction;
        enum bridge_fault want;
    } cases[] = {
        {true, LEVEL_ON, true, 1.019, 1, FAULT_NONE},
        {true, LEVEL_ON, true, 1.021, 1, FAULT_OVERTRAVEL}, /* by the position */
        {true, LEVEL_ON, true, 1.021, -1, FAULT_NONE},      /* the way back */
        {true, LEVEL_ON, true, -0.019, -1, FAULT_NONE},
        {true, LEVEL_ON, true, -0.021, -1, FAULT_OVERTRAVEL},
        {true, LEVEL_ON, true, -0.021, 1, FAULT_NONE},
        {true, LEVEL_OFF, true, 0.99, 1, FAULT_OVERTRAVEL}, /* by the contact */
        {true, LEVEL_OFF, true, 0.99, -1, FAULT_NONE},
        {true, LEVEL_OFF, true, 0.01, -1, FAULT_OVERTRAVEL},
        {true, LEVEL_OFF, true, 0.01, 1, FAULT_NONE},
        {true, LEVEL_OFF, false, 0.01, 1, FAULT_OVERTRAVEL}, /* neither way is known as back */
        {true, LEVEL_OFF, false, 0.99, -1, FAULT_OVERTRAVEL},
        {true, LEVEL_UNKNOWN, true, 0.99, 1, FAULT_OVERTRAVEL},
        {false, LEVEL_OFF, true, 0.99, 1, FAULT_NONE},
        {false, LEVEL_OFF, true, 0.01, -1, FAULT_NONE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = measured_scene();
        s.setup.has_overtravel = cases[i].has_contact;
        s.contacts.within_travel.believed = cases[i].within;
        observe_at(&s, cases[i].position_frac, 0);
        s.motion.is_known = cases[i].is_known;
        command(&s, cases[i].direction, 0);
        assert_int_equal(watch(&s, 0), cases[i].want);
    }
}

static void span_at_rest_may_not_drift(void **state) {
    (void)state;
    struct scene s = measured_scene(); /* 0.02 */
    observe_at(&s, 0.5, 0);
    command(&s, 1, 0);
    command(&s, 0, 0);
    observe_at(&s, 0.53, 999999); /* it runs on for up to a second */
    assert_int_equal(watch_still(&s, 0), FAULT_NONE);
    observe_at(&s, 0.54, 1);
    assert_int_equal(watch_still(&s, 0), FAULT_NONE);
    observe_at(&s, 0.519, SECOND_US);
    assert_int_equal(watch_still(&s, 0), FAULT_DRIFT);
    observe_at(&s, 0.559, SECOND_US);
    assert_int_equal(watch_still(&s, 0), FAULT_NONE);
    observe_at(&s, 0.561, SECOND_US);
    assert_int_equal(watch_still(&s, 0), FAULT_DRIFT);
    assert_int_equal(watch(&s, 0), FAULT_NONE); /* where it need not be still */
    s.setup.motion.has_position = false;
    s.motion.position_frac = 0.9;
    assert_int_equal(watch_still(&s, 0), FAULT_NONE);
}

static void drift_counts_from_where_the_span_came_to_be_held(void **state) {
    (void)state;
    struct scene s = measured_scene();
    observe_at(&s, 0.5, 0); /* after a start: anywhere */
    assert_int_equal(watch(&s, 0), FAULT_NONE);
    assert_int_equal(watch_still(&s, 0), FAULT_NONE);
    observe_at(&s, 0.53, SECOND_US);
    assert_int_equal(watch_still(&s, 0), FAULT_DRIFT);
}

/* ---- the ends */

static void open_is_what_the_contact_says_or_else_the_measured_position(void **state) {
    (void)state;
    static const struct {
        bool has_contact;
        enum level contact;
        bool has_position;
        double position_frac;
        int direction;
        bool want;
    } cases[] = {
        {true, LEVEL_ON, false, 0, 0, true},           {true, LEVEL_OFF, true, 1, 0, false},
        {true, LEVEL_UNKNOWN, true, 1, 0, false},      {false, LEVEL_UNKNOWN, true, 1, 1, true},
        {false, LEVEL_UNKNOWN, true, 0.999, 1, false}, /* driven there it must arrive */
        {false, LEVEL_UNKNOWN, true, 0.971, 0, true},  /* at rest it may lie a little off */
        {false, LEVEL_UNKNOWN, true, 0.969, 0, false}, {false, LEVEL_UNKNOWN, false, 1, 0, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = measured_scene();
        s.setup.has_open = cases[i].has_contact;
        s.contacts.open.believed = cases[i].contact;
        s.setup.motion.has_position = cases[i].has_position;
        s.motion.position_frac = cases[i].position_frac;
        s.motion.direction = cases[i].direction;
        assert_int_equal(motion_is_open(&s.setup, &s.motion, &s.contacts), cases[i].want);
    }
}

static void near_seat_is_what_any_contact_or_the_position_says(void **state) {
    (void)state;
    static const struct {
        enum level seated;
        bool has_nearly;
        enum level nearly;
        bool is_known;
        double position_frac;
        bool want;
    } cases[] = {
        {LEVEL_ON, true, LEVEL_OFF, true, 0.5, true},
        {LEVEL_OFF, true, LEVEL_ON, true, 0.5, true},
        {LEVEL_OFF, false, LEVEL_ON, true, 0.5, false},
        {LEVEL_OFF, true, LEVEL_OFF, true, 0.06, true},
        {LEVEL_OFF, true, LEVEL_OFF, true, 0.061, false},
        {LEVEL_OFF, true, LEVEL_OFF, false, 0, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = measured_scene();
        s.setup.has_nearly_seated = cases[i].has_nearly;
        s.contacts.seated.believed = cases[i].seated;
        s.contacts.nearly_seated.believed = cases[i].nearly;
        s.motion.is_known = cases[i].is_known;
        s.motion.position_frac = cases[i].position_frac;
        assert_int_equal(motion_is_near_seat(&s.setup, &s.motion, &s.contacts), cases[i].want);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(profile_is_the_worked_one_both_ways),
        cmocka_unit_test(short_way_lowers_the_peak),
        cmocka_unit_test(slow_zone_is_crossed_at_creep),
        cmocka_unit_test(effort_runs_from_start_to_full_with_the_speed),
        cmocka_unit_test(measured_position_is_taken_as_it_is),
        cmocka_unit_test(speed_is_measured_over_a_window),
        cmocka_unit_test(estimate_follows_the_commanded_speed_and_stays_within_the_travel),
        cmocka_unit_test(contacts_anchor_the_estimate),
        cmocka_unit_test(span_of_unknown_place_creeps_all_the_way),
        cmocka_unit_test(stall_current_must_last_to_be_a_stall),
        cmocka_unit_test(stall_is_not_looked_for_at_rest_in_the_push_or_without_a_sensor),
        cmocka_unit_test(rest_ends_a_stall_that_had_begun),
        cmocka_unit_test(binding_is_more_current_than_the_place_and_the_way_need),
        cmocka_unit_test(binding_must_last_and_is_not_looked_for_elsewhere),
        cmocka_unit_test(stall_comes_before_binding),
        cmocka_unit_test(driven_span_must_move),
        cmocka_unit_test(moving_the_wrong_way_is_no_movement),
        cmocka_unit_test(rest_as_long_as_the_watch_ends_a_no_movement_that_had_begun),
        cmocka_unit_test(jogs_do_not_hold_a_stalled_motor),
        cmocka_unit_test(stall_ends_with_movement_or_a_low_current_as_long_as_itself),
        cmocka_unit_test(no_rest_between_jogs_ends_it),
        cmocka_unit_test(jogs_the_other_way_do_not_end_it),
        cmocka_unit_test(movement_ends_what_both_ways_have_kept),
        cmocka_unit_test(short_jogs_count_by_the_way_they_were_to_go),
        cmocka_unit_test(jog_that_tries_harder_is_given_its_time_anew),
        cmocka_unit_test(acknowledged_watches_begin_anew),
        cmocka_unit_test(movement_adds_up_over_short_rests),
        cmocka_unit_test(movement_counts_from_where_the_drive_began),
        cmocka_unit_test(span_without_sensor_must_leave_the_contact_it_moves_away_from),
        cmocka_unit_test(jog_against_the_seat_is_no_sign_of_movement),
        cmocka_unit_test(no_movement_is_not_looked_for_in_the_push),
        cmocka_unit_test(span_may_not_run_ahead_of_its_drive),
        cmocka_unit_test(span_stops_beyond_its_travel_and_may_come_back),
        cmocka_unit_test(span_at_rest_may_not_drift),
        cmocka_unit_test(drift_counts_from_where_the_span_came_to_be_held),
        cmocka_unit_test(open_is_what_the_contact_says_or_else_the_measured_position),
        cmocka_unit_test(near_seat_is_what_any_contact_or_the_position_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

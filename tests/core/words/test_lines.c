#include "core/words/lines.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {
    {"main", {"west", "east"}},
    {"siding", {"north", "south"}},
    {"third", {"a", "b"}},
    {"fourth", {"c", "d"}},
};

static unsigned input_called(const char *name) {
    unsigned found = LINES_INPUTS;
    for (unsigned i = 0; i < LINES_INPUTS; i++) {
        char candidate[LINE_NAME_SIZE];
        lines_input_name(tracks, i, candidate);
        if (strcmp(candidate, name) == 0) {
            assert_int_equal(found, LINES_INPUTS); /* names are unique */
            found = i;
        }
    }
    return found;
}

static unsigned output_called(const char *name) {
    unsigned found = LINES_OUTPUTS;
    for (unsigned i = 0; i < LINES_OUTPUTS; i++) {
        char candidate[LINE_NAME_SIZE];
        lines_output_name(tracks, i, candidate);
        if (strcmp(candidate, name) == 0) {
            assert_int_equal(found, LINES_OUTPUTS);
            found = i;
        }
    }
    return found;
}

static void level_names_reach_their_levels(void **state) {
    (void)state;
    struct bridge_inputs in;
    const struct {
        const char *name;
        enum level *level;
    } cases[] = {
        {"seated", &in.seated},
        {"nearly-seated", &in.nearly_seated},
        {"open", &in.open},
        {"nearly-open", &in.nearly_open},
        {"within-travel", &in.within_travel},
        {"locked", &in.locked},
        {"withdrawn", &in.withdrawn},
        {"stop-circuit", &in.stop_circuit},
        {"rail-1", &in.rail[0]},
        {"rail-4", &in.rail[3]},
        {"main.west.approach", &in.track[0].end[0].approach_clear},
        {"main.east.standing", &in.track[0].end[1].standing},
        {"siding.north.stop", &in.track[1].end[0].stop_clear},
        {"siding.south.signal", &in.track[1].end[1].signal_at_stop},
        {"fourth.d.power", &in.track[3].end[1].stop_dead},
        {"siding.span", &in.track[1].span_clear},
        {"fourth.span-power", &in.track[3].span_dead},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        unsigned number = input_called(cases[c].name);
        assert_true(number < LINES_LEVELS);
        assert_ptr_equal(lines_level(&in, number), cases[c].level);
    }
    assert_int_equal(input_called("stop-circuit"), LINE_STOP_CIRCUIT);
    assert_int_equal(input_called("position"), LINE_POSITION);
    assert_int_equal(input_called("current"), LINE_CURRENT);
    assert_int_equal(lines_levels(0), LINES_OWN_LEVELS);
    assert_int_equal(lines_levels(BRIDGE_TRACKS_MAX), LINES_LEVELS);
}

static void output_names_are_those_of_their_numbers(void **state) {
    (void)state;
    const struct {
        const char *name;
        unsigned number;
    } cases[] = {
        {"lift", LINE_LIFT},
        {"brake", LINE_BRAKE},
        {"lock", LINE_LOCK},
        {"horn", LINE_HORN},
        {"river", LINE_RIVER},
        {"main.west.signal", lines_signal(0, 0)},
        {"main.east.signal", lines_signal(0, 1)},
        {"main.east.power", lines_stop_power(0, 1)},
        {"main.span-power", lines_span_power(0)},
        {"fourth.d.power", lines_stop_power(3, 1)},
        {"fourth.span-power", lines_span_power(3)},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        assert_int_equal(output_called(cases[c].name), cases[c].number);
    }
}

/* The proof of an output is the input of the same name. */
static void proofs_bear_the_name_of_their_output(void **state) {
    (void)state;
    for (unsigned output = 0; output < LINES_OUTPUTS; output++) {
        char name[LINE_NAME_SIZE];
        unsigned input = LINES_INPUTS;
        lines_output_name(tracks, output, name);
        assert_int_equal(lines_proof(output, &input), output >= LINES_OWN_OUTPUTS);
        assert_int_equal(input_called(name), input);
    }
}

static void outputs_are_on_one_by_one(void **state) {
    (void)state;
    struct bridge_outputs out = {0};
    for (unsigned i = 0; i < LINES_OUTPUTS; i++) {
        assert_false(lines_is_on(&out, i));
    }
    const struct {
        struct bridge_outputs out;
        unsigned number;
    } cases[] = {
        {{.lift_effort = -0.5}, LINE_LIFT},
        {{.brake_released = true}, LINE_BRAKE},
        {{.lock = LOCK_DRIVE_WITHDRAWN}, LINE_LOCK},
        {{.horn = true}, LINE_HORN},
        {{.river = RIVER_GREEN}, LINE_RIVER},
        {{.track[0].end[1].signal_proceed = true}, lines_signal(0, 1)},
        {{.track[2].end[0].stop_power = true}, lines_stop_power(2, 0)},
        {{.track[3].span_power = true}, lines_span_power(3)},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        for (unsigned i = 0; i < LINES_OUTPUTS; i++) {
            assert_int_equal(lines_is_on(&cases[c].out, i), i == cases[c].number);
        }
    }
}

static void devices_of_an_output_are_on_one_at_a_time(void **state) {
    (void)state;
    static const struct {
        struct bridge_outputs out;
        unsigned number;
        enum line_when when;
    } cases[] = {
        {{.lift_effort = 0.1}, LINE_LIFT, LINE_WHEN_RAISE},
        {{.lift_effort = -0.1}, LINE_LIFT, LINE_WHEN_LOWER},
        {{.lock = LOCK_DRIVE_DRIVEN}, LINE_LOCK, LINE_WHEN_DRIVEN},
        {{.lock = LOCK_DRIVE_WITHDRAWN}, LINE_LOCK, LINE_WHEN_WITHDRAWN},
        {{.river = RIVER_RED}, LINE_RIVER, LINE_WHEN_RED},
        {{.river = RIVER_RED_FLASHING}, LINE_RIVER, LINE_WHEN_FLASHING},
        {{.river = RIVER_GREEN}, LINE_RIVER, LINE_WHEN_GREEN},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        for (size_t w = 0; w < sizeof cases / sizeof cases[0]; w++) {
            if (cases[w].number == cases[c].number) {
                assert_int_equal(lines_wants_on(&cases[c].out, cases[c].number, cases[w].when),
                                 w == c);
            }
        }
    }
    const struct bridge_outputs horn = {.horn = true};
    assert_true(lines_wants_on(&horn, LINE_HORN, (enum line_when)(LINE_WHEN_GREEN + 99)));
    assert_true(lines_wants_on(&horn, LINE_HORN, LINE_WHEN_ON));
    assert_false(lines_wants_on(&horn, LINE_BRAKE, LINE_WHEN_ON));
}

static bool has_input(struct line_set set, const char *name) {
    return (set.inputs >> input_called(name) & 1) != 0;
}

static bool has_output(struct line_set set, const char *name) {
    return (set.outputs >> output_called(name) & 1) != 0;
}

static unsigned count(uint64_t set) {
    unsigned members = 0;
    for (; set != 0; set &= set - 1) {
        members++;
    }
    return members;
}

static void needed_lines_are_those_of_the_setup(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct line_set all = lines_needed(&setup);
    assert_true(has_input(all, "withdrawn") && has_input(all, "position"));
    assert_true(has_input(all, "main.span-power") && has_input(all, "main.east.signal"));
    assert_true(has_output(all, "lift") && has_output(all, "lock"));
    assert_true(has_output(all, "main.span-power") && has_output(all, "main.west.power"));
    assert_false(has_input(all, "siding.span") || has_output(all, "siding.span-power"));
    assert_false(has_output(all, "horn") || has_output(all, "brake") || has_output(all, "river"));
    struct line_set there = lines_there(&setup);
    assert_true(there.inputs == all.inputs);
    assert_int_equal(count(there.outputs), count(all.outputs) + 3);

    /* Each thing left out leaves out its line. */
    const struct {
        bool *has;
        const char *name;
    } cases[] = {
        {&setup.has_nearly_seated, "nearly-seated"},
        {&setup.has_nearly_open, "nearly-open"},
        {&setup.has_open, "open"},
        {&setup.has_overtravel, "within-travel"},
        {&setup.has_withdrawn, "withdrawn"},
        {&setup.has_stop_circuit, "stop-circuit"},
        {&setup.motion.has_position, "position"},
        {&setup.motion.has_current, "current"},
        {&setup.track[0].has_span_detector, "main.span"},
        {&setup.track[0].has_span_power_proof, "main.span-power"},
        {&setup.track[0].end[0].has_approach_detector, "main.west.approach"},
        {&setup.track[0].end[0].has_standing_detector, "main.west.standing"},
        {&setup.track[0].end[1].has_stop_detector, "main.east.stop"},
        {&setup.track[0].end[1].has_signal_proof, "main.east.signal"},
        {&setup.track[0].end[1].has_stop_power_proof, "main.east.power"},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        *cases[c].has = true;
        assert_true(has_input(lines_needed(&setup), cases[c].name));
        uint64_t before = lines_needed(&setup).inputs;
        *cases[c].has = false;
        assert_false(has_input(lines_needed(&setup), cases[c].name));
        assert_int_equal(count(before ^ lines_needed(&setup).inputs), 1);
    }
    setup.rails = 3;
    assert_true(has_input(lines_needed(&setup), "rail-3"));
    assert_false(has_input(lines_needed(&setup), "rail-4"));
    setup.track[0].end[1].is_used = false;
    assert_false(has_output(lines_needed(&setup), "main.east.signal"));
}

static void hand_lifted_bridge_needs_no_lift(void **state) {
    (void)state;
    const struct bridge_setup hand = puppet_hand_setup();
    struct line_set there = lines_there(&hand);
    assert_false(has_output(there, "lift") || has_output(there, "lock"));
    assert_false(has_output(there, "brake"));
    assert_true(has_output(there, "horn"));
}

static void readings_are_taken_by_the_set_alone(void **state) {
    (void)state;
    struct bridge_inputs from;
    lines_forget(&from);
    assert_true(isnan(from.position_frac) && isnan(from.current_a) && !from.is_device_lost);
    for (unsigned i = 0; i < LINES_LEVELS; i++) {
        assert_int_equal(*lines_level(&from, i), LEVEL_UNKNOWN);
        *lines_level(&from, i) = LEVEL_ON;
    }
    from.position_frac = 0.5;
    from.current_a = 2;
    for (unsigned i = 0; i < LINES_INPUTS; i++) {
        struct bridge_inputs to;
        unsigned taken = 0;
        lines_forget(&to);
        lines_take(&to, &from, UINT64_C(1) << i);
        for (unsigned other = 0; other < LINES_LEVELS; other++) {
            taken += *lines_level(&to, other) == LEVEL_ON;
        }
        assert_int_equal(taken, i < LINES_LEVELS);
        assert_true(i >= LINES_LEVELS || *lines_level(&to, i) == LEVEL_ON);
        assert_int_equal(!isnan(to.position_frac), i == LINE_POSITION);
        assert_int_equal(!isnan(to.current_a), i == LINE_CURRENT);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(level_names_reach_their_levels),
        cmocka_unit_test(output_names_are_those_of_their_numbers),
        cmocka_unit_test(proofs_bear_the_name_of_their_output),
        cmocka_unit_test(outputs_are_on_one_by_one),
        cmocka_unit_test(devices_of_an_output_are_on_one_at_a_time),
        cmocka_unit_test(needed_lines_are_those_of_the_setup),
        cmocka_unit_test(hand_lifted_bridge_needs_no_lift),
        cmocka_unit_test(readings_are_taken_by_the_set_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

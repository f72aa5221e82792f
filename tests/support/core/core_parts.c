#include "support/core/core_parts.h"

#define PART(member)                                                                               \
    { #member, offsetof(struct bridge_setup, member) }
#define END_PARTS(e)                                                                               \
    PART(track[0].end[e].has_approach_detector), PART(track[0].end[e].has_standing_detector),      \
        PART(track[0].end[e].has_stop_detector), PART(track[0].end[e].has_signal_proof),           \
        PART(track[0].end[e].has_stop_power_proof), PART(track[0].end[e].is_automatic)

const struct core_part core_parts[] = {
    PART(has_lock_drive),
    PART(has_locked),
    PART(has_withdrawn),
    PART(has_nearly_seated),
    PART(has_nearly_open),
    PART(has_open),
    PART(has_overtravel),
    PART(has_stop_circuit),
    PART(motion.has_position),
    PART(motion.has_current),
    PART(track[0].has_span_detector),
    PART(track[0].has_span_power_proof),
    PART(track[0].end[1].is_used),
    END_PARTS(0),
    END_PARTS(1),
};
const size_t core_parts_count = sizeof core_parts / sizeof core_parts[0];

void core_parts_make_sound(struct bridge_setup *setup) {
    bool is_driven = setup->has_lock_drive && !setup->is_hand_lifted;
    setup->has_lock_drive = is_driven;
    setup->has_locked = setup->has_lock && (setup->has_locked || !is_driven);
    setup->has_withdrawn =
        setup->has_lock && (setup->has_withdrawn || !(is_driven || setup->is_hand_lifted));
    setup->motion.has_position = setup->motion.has_position && !setup->is_hand_lifted;
    setup->motion.has_current = setup->motion.has_current && !setup->is_hand_lifted;
    setup->has_open = setup->has_open || !(setup->is_hand_lifted || setup->motion.has_position);
}

#define INPUT(member)                                                                              \
    { #member, offsetof(struct bridge_inputs, member) }
#define END_INPUTS(e)                                                                              \
    INPUT(track[0].end[e].approach_clear), INPUT(track[0].end[e].standing),                        \
        INPUT(track[0].end[e].stop_clear), INPUT(track[0].end[e].signal_at_stop),                  \
        INPUT(track[0].end[e].stop_dead)

const struct core_input core_inputs[] = {
    INPUT(seated),
    INPUT(nearly_seated),
    INPUT(open),
    INPUT(nearly_open),
    INPUT(within_travel),
    INPUT(locked),
    INPUT(withdrawn),
    INPUT(rail[0]),
    INPUT(rail[1]),
    END_INPUTS(0),
    END_INPUTS(1),
    INPUT(track[0].span_clear),
    INPUT(track[0].span_dead),
};
const size_t core_inputs_count = sizeof core_inputs / sizeof core_inputs[0];

bool *core_part_of(struct bridge_setup *setup, size_t part) {
    return (bool *)((char *)setup + core_parts[part].offset);
}

enum level *core_input_of(struct bridge_inputs *inputs, size_t input) {
    return core_level_at(inputs, core_inputs[input].offset);
}

enum level *core_level_at(struct bridge_inputs *inputs, size_t offset) {
    return (enum level *)((char *)inputs + offset);
}

#include "records/codec/core_shapes.h"

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/request.h"
#include "core/data/setup.h"
#include "core/data/state.h"

#define LENGTH_OF(array) (sizeof(array) / sizeof((array)[0]))
#define MEMBER(type, member) (((struct type *)0)->member)
#define ONE(type, member, kind_)                                                                   \
    { .name = #member, .kind = (kind_), .offset = offsetof(struct type, member) }
#define MANY(type, member, kind_)                                                                  \
    {                                                                                              \
        .name = #member, .kind = (kind_), .offset = offsetof(struct type, member),                 \
        .count = LENGTH_OF(MEMBER(type, member)), .size = sizeof MEMBER(type, member)[0]           \
    }
#define FLAG(type, member) ONE(type, member, SHAPE_FLAG)
#define WORD(type, member) ONE(type, member, SHAPE_WORD)
#define WORDS(type, member) MANY(type, member, SHAPE_WORD)
#define NUMBER(type, member) ONE(type, member, SHAPE_NUMBER)
/* Rows of numbers, as one row. */
#define TABLE_OF(type, member_)                                                                    \
    {                                                                                              \
        .name = #member_, .kind = SHAPE_NUMBER, .offset = offsetof(struct type, member_),          \
        .count = sizeof MEMBER(type, member_) / sizeof(double), .size = sizeof(double)             \
    }
#define PART(type, member_, part)                                                                  \
    {                                                                                              \
        .name = #member_, .kind = SHAPE_STRUCT, .offset = offsetof(struct type, member_),          \
        .of = &part##_shape                                                                        \
    }
#define LIST(type, member_, part)                                                                  \
    {                                                                                              \
        .name = #member_, .kind = SHAPE_STRUCT, .offset = offsetof(struct type, member_),          \
        .count = LENGTH_OF(MEMBER(type, member_)), .size = sizeof(struct part),                    \
        .of = &part##_shape                                                                        \
    }
#define SHAPE_OF(type)                                                                             \
    { .size = sizeof(struct type), .members = LENGTH_OF(type##_members), .member = type##_members }

_Static_assert(sizeof(enum level) == sizeof(uint32_t), "enums are words");

static const struct shape_member motion_setup_members[] = {
    FLAG(motion_setup, has_position),
    FLAG(motion_setup, has_current),
    NUMBER(motion_setup, full_speed_frac_s),
    NUMBER(motion_setup, creep_speed_frac_s),
    NUMBER(motion_setup, acceleration_frac_s2),
    NUMBER(motion_setup, deceleration_frac_s2),
    NUMBER(motion_setup, slow_zone_seat_frac),
    NUMBER(motion_setup, slow_zone_open_frac),
    NUMBER(motion_setup, effort_start),
    NUMBER(motion_setup, effort_full),
    NUMBER(motion_setup, effort_push),
    NUMBER(motion_setup, position_tolerance_frac),
    NUMBER(motion_setup, overtravel_frac),
    NUMBER(motion_setup, drift_frac),
    NUMBER(motion_setup, no_movement_frac),
    NUMBER(motion_setup, overspeed_ratio),
    NUMBER(motion_setup, stall_a),
    WORD(motion_setup, stall_us),
    TABLE_OF(motion_setup, expected_a),
    NUMBER(motion_setup, binding_a),
    WORD(motion_setup, binding_us),
    WORD(motion_setup, no_movement_us),
    WORD(motion_setup, travel_limit_us),
    WORD(motion_setup, seat_limit_us),
    WORD(motion_setup, push_us),
};
static const struct shape motion_setup_shape = SHAPE_OF(motion_setup);

static const struct shape_member track_end_setup_members[] = {
    FLAG(track_end_setup, is_used),
    FLAG(track_end_setup, has_approach_detector),
    FLAG(track_end_setup, has_standing_detector),
    FLAG(track_end_setup, has_stop_detector),
    FLAG(track_end_setup, has_signal_proof),
    FLAG(track_end_setup, has_stop_power_proof),
    FLAG(track_end_setup, is_automatic),
    WORD(track_end_setup, approach_lock_us),
};
static const struct shape track_end_setup_shape = SHAPE_OF(track_end_setup);

static const struct shape_member track_setup_members[] = {
    LIST(track_setup, end, track_end_setup),
    FLAG(track_setup, has_span_detector),
    FLAG(track_setup, has_span_power_proof),
    WORD(track_setup, run_out_us),
};
static const struct shape track_setup_shape = SHAPE_OF(track_setup);

static const struct shape_member bridge_setup_members[] = {
    FLAG(bridge_setup, is_hand_lifted),
    FLAG(bridge_setup, has_lock),
    FLAG(bridge_setup, has_lock_drive),
    FLAG(bridge_setup, has_nearly_seated),
    FLAG(bridge_setup, has_nearly_open),
    FLAG(bridge_setup, has_open),
    FLAG(bridge_setup, has_overtravel),
    FLAG(bridge_setup, has_stop_circuit),
    FLAG(bridge_setup, has_locked),
    FLAG(bridge_setup, has_withdrawn),
    WORD(bridge_setup, rails),
    WORD(bridge_setup, tracks),
    LIST(bridge_setup, track, track_setup),
    PART(bridge_setup, motion, motion_setup),
    WORD(bridge_setup, debounce_us),
    WORD(bridge_setup, clear_us),
    WORD(bridge_setup, proof_limit_us),
    WORD(bridge_setup, lock_limit_us),
    WORD(bridge_setup, clearing_limit_us),
    WORD(bridge_setup, warning_us),
    WORD(bridge_setup, short_blast_us),
    WORD(bridge_setup, prolonged_blast_us),
    WORD(bridge_setup, blast_gap_us),
};
const struct shape core_setup_shape = SHAPE_OF(bridge_setup);

static const struct shape_member track_end_inputs_members[] = {
    WORD(track_end_inputs, approach_clear), WORD(track_end_inputs, standing),
    WORD(track_end_inputs, stop_clear),     WORD(track_end_inputs, signal_at_stop),
    WORD(track_end_inputs, stop_dead),
};
static const struct shape track_end_inputs_shape = SHAPE_OF(track_end_inputs);

static const struct shape_member track_inputs_members[] = {
    LIST(track_inputs, end, track_end_inputs),
    WORD(track_inputs, span_clear),
    WORD(track_inputs, span_dead),
};
static const struct shape track_inputs_shape = SHAPE_OF(track_inputs);

static const struct shape_member bridge_inputs_members[] = {
    WORD(bridge_inputs, seated),
    WORD(bridge_inputs, nearly_seated),
    WORD(bridge_inputs, open),
    WORD(bridge_inputs, nearly_open),
    WORD(bridge_inputs, within_travel),
    WORD(bridge_inputs, locked),
    WORD(bridge_inputs, withdrawn),
    WORDS(bridge_inputs, rail),
    WORD(bridge_inputs, stop_circuit),
    LIST(bridge_inputs, track, track_inputs),
    NUMBER(bridge_inputs, position_frac),
    NUMBER(bridge_inputs, current_a),
    FLAG(bridge_inputs, is_device_lost),
    WORD(bridge_inputs, late_us),
};
const struct shape core_inputs_shape = SHAPE_OF(bridge_inputs);

static const struct shape_member track_end_outputs_members[] = {
    FLAG(track_end_outputs, signal_proceed),
    FLAG(track_end_outputs, stop_power),
};
static const struct shape track_end_outputs_shape = SHAPE_OF(track_end_outputs);

static const struct shape_member track_outputs_members[] = {
    LIST(track_outputs, end, track_end_outputs),
    FLAG(track_outputs, span_power),
};
static const struct shape track_outputs_shape = SHAPE_OF(track_outputs);

static const struct shape_member bridge_outputs_members[] = {
    NUMBER(bridge_outputs, lift_effort), FLAG(bridge_outputs, brake_released),
    WORD(bridge_outputs, lock),          LIST(bridge_outputs, track, track_outputs),
    FLAG(bridge_outputs, horn),          WORD(bridge_outputs, river),
};
const struct shape core_outputs_shape = SHAPE_OF(bridge_outputs);

static const struct shape_member bridge_request_members[] = {
    WORD(bridge_request, kind),    WORD(bridge_request, track),
    WORD(bridge_request, end),     NUMBER(bridge_request, effort_most),
    NUMBER(bridge_request, share), FLAG(bridge_request, is_voltage),
};
const struct shape core_request_shape = SHAPE_OF(bridge_request);

static const struct shape_member watch_members[] = {
    FLAG(watch, is_running),
    WORD(watch, left_us),
};
static const struct shape watch_shape = SHAPE_OF(watch);

static const struct shape_member lasting_watch_members[] = {
    PART(lasting_watch, watch, watch),
    WORD(lasting_watch, ease_us),
};
static const struct shape lasting_watch_shape = SHAPE_OF(lasting_watch);

static const struct shape_member debounced_members[] = {
    WORD(debounced, believed),
    WORD(debounced, candidate),
    WORD(debounced, left_us),
    WORD(debounced, unsettled_us),
};
static const struct shape debounced_shape = SHAPE_OF(debounced);

static const struct shape_member bridge_contacts_members[] = {
    PART(bridge_contacts, seated, debounced),
    PART(bridge_contacts, nearly_seated, debounced),
    PART(bridge_contacts, open, debounced),
    PART(bridge_contacts, nearly_open, debounced),
    PART(bridge_contacts, within_travel, debounced),
    PART(bridge_contacts, locked, debounced),
    PART(bridge_contacts, withdrawn, debounced),
    LIST(bridge_contacts, rail, debounced),
};
static const struct shape bridge_contacts_shape = SHAPE_OF(bridge_contacts);

static const struct shape_member track_end_state_members[] = {
    WORD(track_end_state, approach_lock_us),      PART(track_end_state, approach_clear, watch),
    PART(track_end_state, stop_clear, watch),     PART(track_end_state, signal_unproved, watch),
    PART(track_end_state, power_unproved, watch), PART(track_end_state, told_stop, watch),
    PART(track_end_state, told_off, watch),       FLAG(track_end_state, is_proceed_wanted),
    FLAG(track_end_state, shows_proceed),         FLAG(track_end_state, is_powered),
    FLAG(track_end_state, is_occupied),           FLAG(track_end_state, is_approached),
    FLAG(track_end_state, is_just_left),
};
static const struct shape track_end_state_shape = SHAPE_OF(track_end_state);

static const struct shape_member track_state_members[] = {
    LIST(track_state, end, track_end_state),
    PART(track_state, span_clear, watch),
    PART(track_state, power_unproved, watch),
    PART(track_state, told_off, watch),
    PART(track_state, run_out, watch),
    FLAG(track_state, is_powered),
    FLAG(track_state, is_fresh),
    FLAG(track_state, is_occupied),
};
static const struct shape track_state_shape = SHAPE_OF(track_state);

static const struct shape_member motion_state_members[] = {
    NUMBER(motion_state, position_frac),
    FLAG(motion_state, is_known),
    WORD(motion_state, direction),
    NUMBER(motion_state, speed_frac_s),
    NUMBER(motion_state, measured_frac_s),
    NUMBER(motion_state, window_frac),
    NUMBER(motion_state, window_s),
    TABLE_OF(motion_state, watch_frac),
    TABLE_OF(motion_state, watch_effort),
    NUMBER(motion_state, rest_frac),
    WORD(motion_state, settle_us),
    LIST(motion_state, no_movement, lasting_watch),
    PART(motion_state, stall, lasting_watch),
    PART(motion_state, binding, watch),
};
static const struct shape motion_state_shape = SHAPE_OF(motion_state);

static const struct shape_member horn_state_members[] = {
    WORD(horn_state, signal),
    WORD(horn_state, element),
    WORD(horn_state, left_us),
};
static const struct shape horn_state_shape = SHAPE_OF(horn_state);

static const struct shape_member jog_state_members[] = {
    WORD(jog_state, direction),
    NUMBER(jog_state, effort_most),
    WORD(jog_state, left_us),
};
static const struct shape jog_state_shape = SHAPE_OF(jog_state);

static const struct shape_member throttle_state_members[] = {
    NUMBER(throttle_state, share),
    FLAG(throttle_state, is_voltage),
    WORD(throttle_state, left_us),
};
static const struct shape throttle_state_shape = SHAPE_OF(throttle_state);

static const struct shape_member lock_state_members[] = {
    WORD(lock_state, put_out),
    PART(lock_state, driven, watch),
    PART(lock_state, withdrawn, watch),
};
static const struct shape lock_state_shape = SHAPE_OF(lock_state);

static const struct shape_member bridge_state_members[] = {
    WORD(bridge_state, phase),
    WORD(bridge_state, goal),
    WORD(bridge_state, fault),
    PART(bridge_state, phase_limit, watch),
    WORD(bridge_state, warning_left_us),
    WORD(bridge_state, push_left_us),
    WORD(bridge_state, seen_clear_left_us),
    WORD(bridge_state, word_barred_left_us),
    PART(bridge_state, lock, lock_state),
    PART(bridge_state, jog, jog_state),
    PART(bridge_state, throttle, throttle_state),
    FLAG(bridge_state, is_power_wanted),
    FLAG(bridge_state, is_cut),
    FLAG(bridge_state, is_horn_asked),
    FLAG(bridge_state, has_opened),
    FLAG(bridge_state, has_given_up),
    WORD(bridge_state, openings),
    PART(bridge_state, contacts, bridge_contacts),
    LIST(bridge_state, track, track_state),
    PART(bridge_state, motion, motion_state),
    PART(bridge_state, horn, horn_state),
};
const struct shape core_state_shape = SHAPE_OF(bridge_state);

uint64_t core_shapes_print(void) {
    const struct shape *const all[] = {&core_setup_shape, &core_state_shape, &core_inputs_shape,
                                       &core_request_shape, &core_outputs_shape};
    uint64_t print = 0;
    for (size_t i = 0; i < LENGTH_OF(all); i++) {
        print = print * 31 + shape_print(all[i]);
    }
    return print >> 1;
}

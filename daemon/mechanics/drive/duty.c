#include "mechanics/drive/duty.h"

#include <math.h>
#include <stdbool.h>

/* Warmer than this no motor runs: the sum has run away. */
static const double lost_c = 1000;

static struct heat_loss loss_at(const struct chain *chain, const struct chain_move *move,
                                double speed) {
    double arm = lift_rack_arm(&chain->lift, move->position);
    double motor_rad_s = speed * drive_motor_per_position(&chain->drive, arm);
    double current_a = chain_current_a(chain, move);
    return (struct heat_loss){current_a * current_a * chain->motor.resistance_ohm,
                              chain->motor.no_load_a * chain->motor.ke_v_s_rad * motor_rad_s};
}

void duty_run(const struct chain *chain, const struct travel *travel, int way,
              struct duty_run *run) {
    double whole = chain->lift.travel;
    *run = (struct duty_run){.step_s = travel->duration_s / (TRAVEL_MOMENTS - 1)};
    for (int i = 0; i + 1 < TRAVEL_MOMENTS; i++) {
        const struct travel_moment *from = &travel->moment[i];
        const struct travel_moment *to = &travel->moment[i + 1];
        double gain = (to->speed_frac_s - from->speed_frac_s) / run->step_s;
        const struct chain_move move = {whole * (from->position_frac + to->position_frac) / 2, way,
                                        CHAIN_MOST, whole * gain};
        run->loss[i] = loss_at(chain, &move, whole * (from->speed_frac_s + to->speed_frac_s) / 2);
        run->copper_j += run->loss[i].copper_w * run->step_s;
        run->other_j += run->loss[i].other_w * run->step_s;
    }
    run->rms_a = sqrt(run->copper_j / travel->duration_s / chain->motor.resistance_ohm);
}

static void note(const struct heat_state *state, struct heat_state *hottest) {
    if (state->winding_c > hottest->winding_c) {
        *hottest = *state;
    }
}

static void move(const struct heat *heat, const struct duty_run *run, struct heat_state *state,
                 struct heat_state *hottest) {
    for (int i = 0; i + 1 < TRAVEL_MOMENTS; i++) {
        heat_run(heat, &run->loss[i], run->step_s, state);
        note(state, hottest);
    }
}

static double moves_s(const struct duty_run *up, const struct duty_run *down) {
    return (up->step_s + down->step_s) * (TRAVEL_MOMENTS - 1);
}

/* Returns the hottest of one opening, from `state` on. */
static struct heat_state open_once(const struct heat *heat, const struct duty *duty,
                                   const struct duty_run *up, const struct duty_run *down,
                                   struct heat_state *state) {
    const struct heat_loss nothing = {0, 0};
    struct heat_state hottest = *state;
    move(heat, up, state, &hottest);
    heat_run(heat, &nothing, duty->open_s, state);
    move(heat, down, state, &hottest);
    heat_run(heat, &nothing, fmax(duty->every_s - moves_s(up, down) - duty->open_s, 0), state);
    return hottest;
}

/* What one opening makes of a state, from rest to rest: each part of it adds and multiplies, and so
 * does the whole. */
struct opening {
    struct heat_state from, to;          /* one opening */
    struct heat_state winding, case_per; /* what a kelvin more before makes after it */
};

static struct heat_state less(struct heat_state one, struct heat_state other) {
    return (struct heat_state){one.winding_c - other.winding_c, one.case_c - other.case_c};
}

static struct opening opening_of(const struct heat *heat, const struct duty *duty,
                                 const struct duty_run *up, const struct duty_run *down) {
    struct heat_state cold = heat_cold(heat);
    struct heat_state to = cold;
    struct heat_state winding = {cold.winding_c + 1, cold.case_c};
    struct heat_state case_per = {cold.winding_c, cold.case_c + 1};
    open_once(heat, duty, up, down, &to);
    open_once(heat, duty, up, down, &winding);
    open_once(heat, duty, up, down, &case_per);
    return (struct opening){cold, to, less(winding, to), less(case_per, to)};
}

static struct heat_state after(const struct opening *opening, struct heat_state state) {
    struct heat_state above = less(state, opening->from);
    return (struct heat_state){opening->to.winding_c +
                                   opening->winding.winding_c * above.winding_c +
                                   opening->case_per.winding_c * above.case_c,
                               opening->to.case_c + opening->winding.case_c * above.winding_c +
                                   opening->case_per.case_c * above.case_c};
}

/* The state that an opening leaves as it was; of no motor that runs away. */
static bool find_settled(const struct opening *opening, struct heat_state *settled) {
    double a = 1 - opening->winding.winding_c, b = opening->case_per.winding_c;
    double c = opening->winding.case_c, d = 1 - opening->case_per.case_c;
    double determinant = a * d - b * c;
    struct heat_state gain = less(opening->to, opening->from);
    *settled = (struct heat_state){
        opening->from.winding_c + (d * gain.winding_c + b * gain.case_c) / determinant,
        opening->from.case_c + (c * gain.winding_c + a * gain.case_c) / determinant};
    return determinant > 0 && a + d > 0 && settled->winding_c <= lost_c;
}

/* Each opening begins warmer than the one before: the last is the hottest. */
struct duty_heat duty_heat(const struct heat *heat, const struct duty *duty,
                           const struct duty_run *up, const struct duty_run *down) {
    const struct opening opening = opening_of(heat, duty, up, down);
    struct heat_state state = heat_cold(heat), settled;
    for (unsigned i = 1; i < duty->openings && state.winding_c <= lost_c; i++) {
        state = after(&opening, state);
    }
    struct duty_heat result = {.endless_c = INFINITY};
    result.hottest = open_once(heat, duty, up, down, &state);
    result.evening_c = result.hottest.winding_c;
    if (find_settled(&opening, &settled)) {
        double endless_c = open_once(heat, duty, up, down, &settled).winding_c;
        result.endless_c = endless_c <= lost_c ? endless_c : INFINITY;
    }
    return result;
}

double duty_evening_s(const struct duty *duty, const struct duty_run *up,
                      const struct duty_run *down) {
    return duty->openings * fmax(duty->every_s, moves_s(up, down) + duty->open_s);
}

/* The loss at a time of the evening. */
static struct heat_loss loss_then(const struct duty *duty, const struct duty_run *up,
                                  const struct duty_run *down, double time_s) {
    double within_s = fmod(time_s, duty_evening_s(duty, up, down) / duty->openings);
    double up_s = up->step_s * (TRAVEL_MOMENTS - 1);
    double down_s = within_s - up_s - duty->open_s;
    if (within_s < up_s) {
        return up->loss[(int)fmin(within_s / up->step_s, TRAVEL_MOMENTS - 2)];
    }
    if (down_s >= 0 && down_s < down->step_s * (TRAVEL_MOMENTS - 1)) {
        return down->loss[(int)fmin(down_s / down->step_s, TRAVEL_MOMENTS - 2)];
    }
    return (struct heat_loss){0, 0};
}

unsigned duty_trace(const struct heat *heat, const struct duty *duty, const struct duty_run *up,
                    const struct duty_run *down, double every_s, struct duty_sample *sample,
                    unsigned most) {
    enum { PIECES = 32 }; /* the loss is looked at so often between two samples */
    struct heat_state state = heat_cold(heat);
    double end_s = duty_evening_s(duty, up, down);
    unsigned count = 0;
    while (count < most && count * every_s <= end_s * (1 + 1e-9)) {
        double time_s = count * every_s;
        sample[count++] = (struct duty_sample){time_s, state};
        for (int i = 0; i < PIECES; i++) {
            struct heat_loss loss =
                loss_then(duty, up, down, time_s + (i + 0.5) * every_s / PIECES);
            heat_run(heat, &loss, every_s / PIECES, &state);
        }
    }
    return count;
}

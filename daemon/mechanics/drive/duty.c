#include "mechanics/drive/duty.h"

#include <math.h>
#include <stdbool.h>

enum { ENDLESS_MAX = 400 };

/* Warmer than this no motor runs: the sum has run away. */
static const double lost_c = 1000;
static const double settled_k = 0.01;

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

struct duty_heat duty_heat(const struct heat *heat, const struct duty *duty,
                           const struct duty_run *up, const struct duty_run *down) {
    struct heat_state state = heat_cold(heat);
    struct duty_heat result = {.evening_c = state.winding_c, .endless_c = INFINITY};
    result.hottest = state;
    double before_c = -INFINITY;
    for (unsigned i = 0; i < duty->openings || i < ENDLESS_MAX; i++) {
        struct heat_state hottest = open_once(heat, duty, up, down, &state);
        if (i < duty->openings) {
            note(&hottest, &result.hottest);
        }
        bool is_settled = fabs(hottest.winding_c - before_c) < settled_k;
        if (is_settled || hottest.winding_c > lost_c) {
            result.endless_c = is_settled ? hottest.winding_c : INFINITY;
            break;
        }
        before_c = hottest.winding_c;
    }
    result.evening_c = result.hottest.winding_c;
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

#include "mechanics/balance/balance_test.h"

#include "mechanics/balance/balance_fit.h"
#include "mechanics/balance/least_squares.h"
#include "mechanics/number.h"

#include <math.h>

static double motor_speed(const struct chain *chain, const struct balance_sample *sample) {
    double arm = lift_rack_arm(&chain->lift, sample->position_rad);
    return fabs(sample->speed_rad_s) * drive_motor_per_position(&chain->drive, arm);
}

static bool is_same_run(const struct balance_sample *a, const struct balance_sample *b) {
    return a->is_raising == b->is_raising && a->is_loaded == b->is_loaded;
}

/* The lower median of the run that `like` is of: that with half of the others below it. */
static double median_speed(const struct chain *chain, const struct balance_sample *samples,
                           size_t count, const struct balance_sample *like) {
    for (size_t i = 0; i < count; i++) {
        double speed = motor_speed(chain, &samples[i]);
        size_t below = 0;
        size_t equal = 0;
        size_t all = 0;
        for (size_t k = 0; k < count && is_same_run(&samples[i], like); k++) {
            if (is_same_run(&samples[k], like)) {
                double other = motor_speed(chain, &samples[k]);
                all++;
                below += other < speed;
                equal += other == speed;
            }
        }
        if (all > 0 && below <= (all - 1) / 2 && below + equal > (all - 1) / 2) {
            return speed;
        }
    }
    return 0;
}

size_t balance_test_steady(const struct chain *chain, struct balance_sample *samples,
                           size_t count) {
    static const struct balance_sample runs[] = {{.is_raising = true},
                                                 {.is_raising = false},
                                                 {.is_raising = true, .is_loaded = true},
                                                 {.is_raising = false, .is_loaded = true}};
    double median[4];
    for (size_t r = 0; r < 4; r++) {
        median[r] = median_speed(chain, samples, count, &runs[r]);
    }
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        size_t run = (samples[i].is_loaded ? 2u : 0u) + (samples[i].is_raising ? 0u : 1u);
        double speed = motor_speed(chain, &samples[i]);
        if (speed > 0 && fabs(speed - median[run]) <= median[run] / 20) {
            samples[kept++] = samples[i];
        }
    }
    return kept;
}

double balance_test_torque_n_m(const struct chain *chain, const struct balance_sample *sample,
                               double no_load_a) {
    double arm = lift_rack_arm(&chain->lift, sample->position_rad);
    double motor_n_m = chain->motor.kt_n_m_a * (sample->current_a - no_load_a);
    return (sample->is_raising ? 1 : -1) * motor_n_m * drive_motor_per_position(&chain->drive, arm);
}

/* Motor torque for a rack force of 1 N forward, and of 1 N running ahead, per what a lossless drive
 * would take. */
static double gain(const struct drive *drive, double force_n, double mu) {
    return fabs(force_n) / force_n * drive_motor_torque_n_m(drive, force_n, mu) /
           drive_rack_per_motor_rad_m(drive);
}

struct balance_gains balance_test_gains(const struct drive *drive, double mu) {
    return (struct balance_gains){gain(drive, 1, mu), gain(drive, -1, mu)};
}

/* ---- the fit */

struct given {
    const struct chain *chain;
    const struct balance_sample *samples;
    size_t count;
    const struct balance_weight *weight;
};

/* Unknowns, in this order; the gains only where they are measured, and used. */
enum { COSINE = 0, SINE, FRICTION, GAIN_UP, GAIN_DOWN, UNKNOWNS };

struct model {
    double value[UNKNOWNS];
    double error[UNKNOWNS]; /* 0: not fitted */
    double deviation;
};

enum { ROUNDS = 60, GAIN_USES = 3 };

static double added(const struct given *given, const struct balance_sample *sample) {
    return sample->is_loaded ? balance_fit_added_moment_n_m(given->weight->mass_kg,
                                                            given->weight->at, sample->position_rad)
                             : 0;
}

/* What the drive must hold or move: M + F raising, M - F lowering. */
static double load_of(const struct given *given, const struct model *model,
                      const struct balance_sample *sample) {
    double moment = model->value[COSINE] * cos(sample->position_rad) +
                    model->value[SINE] * sin(sample->position_rad) + added(given, sample);
    return moment + (sample->is_raising ? 1 : -1) * model->value[FRICTION];
}

/* A load that resists the motor, or one that runs ahead of it, by this model. */
static unsigned gain_of(const struct given *given, const struct model *model,
                        const struct balance_sample *sample) {
    return (load_of(given, model, sample) >= 0) == sample->is_raising ? GAIN_UP : GAIN_DOWN;
}

/* One round: what the unknowns are off by, as far as the samples tell. The columns are those of the
 * unknowns in `column`. */
static const char *solve_round(const struct given *given, const struct model *model,
                               const struct model *sides, double no_load_a,
                               const unsigned column[UNKNOWNS], unsigned columns,
                               struct least_squares_fit *fit) {
    struct least_squares sum;
    least_squares_begin(&sum, columns);
    for (size_t i = 0; i < given->count; i++) {
        const struct balance_sample *sample = &given->samples[i];
        double load = load_of(given, model, sample);
        unsigned used = gain_of(given, sides, sample);
        double c = model->value[used];
        const double all[UNKNOWNS] = {
            [COSINE] = c * cos(sample->position_rad),   [SINE] = c * sin(sample->position_rad),
            [FRICTION] = sample->is_raising ? c : -c,   [GAIN_UP] = used == GAIN_UP ? load : 0,
            [GAIN_DOWN] = used == GAIN_DOWN ? load : 0,
        };
        double factors[UNKNOWNS] = {0};
        for (unsigned k = 0; k < columns; k++) {
            factors[k] = all[column[k]];
        }
        least_squares_add(&sum, factors,
                          balance_test_torque_n_m(given->chain, sample, no_load_a) - c * load);
    }
    return least_squares_solve(&sum, fit);
}

/* Which unknowns are fitted: a gain that few samples use is left as it is. */
static unsigned choose_columns(const struct given *given, const struct model *model,
                               bool are_gains_free, unsigned column[UNKNOWNS]) {
    size_t uses[UNKNOWNS] = {0};
    unsigned columns = 0;
    for (size_t i = 0; i < given->count; i++) {
        const struct balance_sample *sample = &given->samples[i];
        uses[gain_of(given, model, sample)]++;
    }
    for (unsigned k = 0; k < UNKNOWNS; k++) {
        if (k < GAIN_UP || (are_gains_free && uses[k] >= GAIN_USES)) {
            column[columns++] = k;
        }
    }
    return columns;
}

/* Takes what the unknowns are off by into the model; whether they have settled. */
static bool take(const struct least_squares_fit *fit, const unsigned column[UNKNOWNS],
                 unsigned columns, struct model *model) {
    double off = 0;
    double size = 0;
    for (unsigned k = 0; k < columns; k++) {
        model->value[column[k]] += fit->value[k];
        model->error[column[k]] = isnan(fit->error[k]) ? 0 : fit->error[k];
        off = fmax(off, fabs(fit->value[k]));
        size = fmax(size, fabs(model->value[column[k]]));
    }
    model->deviation = fit->residual_deviation;
    return off <= 1e-9 * size;
}

/* From where `model` stands. `fixed` says on which side of M = F each sample is; NULL: the model
 * itself says, for the first half of the rounds: it may swing to and fro between two answers. */
static const char *solve(const struct given *given, double no_load_a, bool are_gains_free,
                         const struct model *fixed, struct model *model) {
    struct model held = *model;
    for (unsigned round = 0; round < ROUNDS; round++) {
        if (round <= ROUNDS / 2) {
            held = *model;
        }
        const struct model *sides = fixed != NULL ? fixed : &held;
        unsigned column[UNKNOWNS] = {0};
        struct least_squares_fit fit = {.value = {0}};
        unsigned columns = choose_columns(given, sides, are_gains_free, column);
        const char *wrong = solve_round(given, model, sides, no_load_a, column, columns, &fit);
        if (wrong != NULL) {
            return wrong;
        }
        if (take(&fit, column, columns, model)) {
            return NULL;
        }
    }
    return "the samples do not lead to one answer: they scatter too much";
}

/* Friction is never negative. */
static bool is_better(const struct model *one, const struct model *other) {
    bool is_sound = one->value[FRICTION] >= 0;
    bool is_other_sound = other->value[FRICTION] >= 0;
    return is_sound != is_other_sound ? is_sound : one->deviation < other->deviation;
}

/* With these gains, not fitted. Through a worm a leaf that is held back and one that is pushed down
 * look much alike, so that there may be two answers: the search begins at nothing and again at the
 * balance as designed, and the better answer counts. */
static const char *solve_with(const struct given *given, struct balance_gains gains,
                              double no_load_a, const struct model *fixed, struct model *model) {
    const struct chain *chain = given->chain;
    struct model nothing = {.value = {[GAIN_UP] = gains.up, [GAIN_DOWN] = gains.down}};
    struct model designed = nothing;
    designed.value[COSINE] = NUMBER_GRAVITY_M_S2 * chain->balance.sx_kg_m;
    designed.value[SINE] = -NUMBER_GRAVITY_M_S2 * chain->balance.sy_kg_m;
    designed.value[FRICTION] = chain->friction_running;
    const char *wrong = solve(given, no_load_a, false, fixed, &nothing);
    const char *wrong_too = solve(given, no_load_a, false, fixed, &designed);
    bool is_designed = wrong_too == NULL && (wrong != NULL || is_better(&designed, &nothing));
    *model = is_designed ? designed : nothing;
    return is_designed ? NULL : wrong;
}

static struct balance_value value_of(const struct model *best, const struct model *low,
                                     const struct model *high, const struct model *no_load,
                                     double motor_share, unsigned which) {
    struct balance_value value = {
        .value = best->value[which],
        .scatter = best->error[which],
        .gains = fmax(fabs(low->value[which] - best->value[which]),
                      fabs(high->value[which] - best->value[which])),
        .no_load = fabs(no_load->value[which] - best->value[which]),
        .motor = motor_share * fabs(best->value[which]), /* all torques are in proportion to it */
    };
    value.error = sqrt(value.scatter * value.scatter + value.gains * value.gains +
                       value.no_load * value.no_load + value.motor * value.motor);
    return value;
}

struct models {
    struct model best, low, high, no_load, half;
};

static double believed(double share, double least, double most) {
    return fmax((most - least) / 2, share * (least + most) / 2);
}

/* Gains of a drive that loses less than it is said to (`way` -1), as much (0), or more (1), as far
 * as that may be. */
static struct balance_gains gains_off(const struct drive *given, int way) {
    struct drive drive = *given;
    double mu = 0, off_mu = 0;
    if (drive.has_worm) {
        mu = (drive.worm.mu_low + drive.worm.mu_high) / 2;
        off_mu = believed(BALANCE_WORM_SHARE, drive.worm.mu_low, drive.worm.mu_high);
    }
    double losses = 1 + way * BALANCE_LOSS_SHARE;
    drive.planetary_efficiency = fmax(1e-3, 1 - losses * (1 - drive.planetary_efficiency));
    drive.rack_efficiency = fmax(1e-3, 1 - losses * (1 - drive.rack_efficiency));
    return balance_test_gains(&drive, mu + way * off_mu);
}

/* With gains that the weight tells. They may be far from what the drive's data say, and the search
 * ends where it begins too far off: it begins at many frictions of a worm, and the best answer
 * counts. */
static const char *solve_measured(const struct given *given, double no_load_a, struct model *best) {
    enum { STARTS = 10 };
    struct drive drive = given->chain->drive;
    const char *fault = NULL;
    bool has_any = false;
    for (int i = 0; i < (drive.has_worm ? STARTS : 1); i++) {
        struct model model;
        double mu = 0.01 * pow(1.45, i); /* to 0.28 */
        fault = solve_with(given, balance_test_gains(&drive, mu), no_load_a, NULL, &model);
        fault = fault != NULL ? fault : solve(given, no_load_a, true, NULL, &model);
        if (fault == NULL && (!has_any || is_better(&model, best))) {
            *best = model;
            has_any = true;
        }
    }
    return has_any ? NULL : fault;
}

/* What is not known of gains and no-load current is moved, one at a time, to see what comes of it.
 */
static const char *solve_all(const struct given *given, bool are_measured, double no_load_share,
                             struct models *m) {
    const struct drive *drive = &given->chain->drive;
    double no_load_a = given->chain->motor.no_load_a;
    double moved_a = (1 + no_load_share) * no_load_a;
    /* The best first: all others take from it which samples lie above M = F, so that they differ by
     * what was moved alone. */
    const char *wrong = are_measured
                            ? solve_measured(given, no_load_a, &m->best)
                            : solve_with(given, gains_off(drive, 0), no_load_a, NULL, &m->best);
    if (wrong != NULL) {
        return wrong;
    }
    m->low = m->high = m->no_load = m->best;
    wrong = solve(given, moved_a, are_measured, &m->best, &m->no_load);
    if (wrong == NULL && !are_measured) {
        wrong = solve_with(given, gains_off(drive, -1), no_load_a, &m->best, &m->low);
    }
    if (wrong == NULL && !are_measured) {
        wrong = solve_with(given, gains_off(drive, 1), no_load_a, &m->best, &m->high);
    }
    if (wrong == NULL) {
        wrong = solve_with(given, (struct balance_gains){1, 1}, no_load_a, &m->best, &m->half);
    }
    return wrong;
}

static double residual_of(const struct given *given, const struct model *model,
                          const struct balance_sample *sample) {
    double gain = model->value[gain_of(given, model, sample)];
    return balance_test_torque_n_m(given->chain, sample, given->chain->motor.no_load_a) -
           gain * load_of(given, model, sample);
}

/* What of the residuals goes on from one sample of a run to the next, N.m on the span. */
static double pattern_of(const struct given *given, const struct model *model) {
    double squares = 0;
    size_t steps = 0;
    for (size_t i = 1; i < given->count; i++) {
        const struct balance_sample *one = &given->samples[i - 1], *next = &given->samples[i];
        if (is_same_run(one, next)) {
            double step = residual_of(given, model, next) - residual_of(given, model, one);
            squares += step * step;
            steps++;
        }
    }
    double variance = model->deviation * model->deviation;
    double scatter = steps > 0 ? squares / (2 * (double)steps) : variance;
    return scatter < variance / 2 ? sqrt(variance - scatter) / model->value[GAIN_UP] : 0;
}

static enum balance_sight sight_of(const struct balance_test *result, double matters_n_m) {
    if (result->friction_n_m.value + result->friction_n_m.error < 0 ||
        3 * result->pattern_n_m > matters_n_m / 2) {
        return BALANCE_MISFIT;
    }
    return result->cosine_n_m.error <= matters_n_m / 2 ? BALANCE_SEEN : BALANCE_NOT_SEEN;
}

/* One run whose readings are all the same, to the last digit. */
static bool is_stuck(const struct given *given, bool is_raising, bool is_loaded) {
    double least_a = INFINITY, most_a = -INFINITY;
    for (size_t i = 0; i < given->count; i++) {
        const struct balance_sample *sample = &given->samples[i];
        if (sample->is_raising == is_raising && sample->is_loaded == is_loaded) {
            least_a = fmin(least_a, sample->current_a);
            most_a = fmax(most_a, sample->current_a);
        }
    }
    return most_a == least_a;
}

static bool has_stuck_run(const struct given *given) {
    return is_stuck(given, true, false) || is_stuck(given, false, false) ||
           is_stuck(given, true, true) || is_stuck(given, false, true);
}

static const char *check(const struct given *given) {
    size_t raising = 0;
    for (size_t i = 0; i < given->count; i++) {
        const struct balance_sample *sample = &given->samples[i];
        if (!isfinite(sample->position_rad) || !isfinite(sample->current_a) ||
            !isfinite(sample->speed_rad_s)) {
            return "every sample needs a position, a speed and a current";
        }
        raising += sample->is_raising;
    }
    if (raising < 3 || given->count - raising < 3) {
        return "there must be three samples or more of each direction at steady speed";
    }
    if (given->chain->lift.kind == LIFT_VERTICAL || given->chain->lift.kind == LIFT_SWING) {
        return "only a leaf that turns about a level axis has this kind of balance";
    }
    if (has_stuck_run(given)) {
        return "the current reads the same all the way of a run: its sensor is stuck, or too "
               "coarse to see the load; compare it with a meter in the motor's lead";
    }
    return NULL;
}

static bool has_loaded(const struct given *given) {
    size_t loaded = 0;
    for (size_t i = 0; i < given->count; i++) {
        loaded += given->samples[i].is_loaded;
    }
    return loaded >= 3 && given->count - loaded >= 3;
}

struct balance_asked balance_asked(double matters_n_m) {
    return (struct balance_asked){matters_n_m, BALANCE_MOTOR_SHARE, BALANCE_NO_LOAD_SHARE};
}

const char *balance_test_solve(const struct chain *chain, const struct balance_sample *samples,
                               size_t count, const struct balance_weight *weight,
                               struct balance_asked asked, struct balance_test *result) {
    const struct given given = {chain, samples, count, weight};
    bool are_measured = weight->mass_kg > 0;
    struct models m;
    const char *wrong = check(&given);
    if (wrong == NULL && are_measured && !has_loaded(&given)) {
        wrong = "there must be runs with the weight and without it";
    }
    if (wrong == NULL) {
        wrong = solve_all(&given, are_measured, asked.no_load_share, &m);
    }
    if (wrong != NULL) {
        return wrong;
    }
    double a_per_n_m =
        1 / (chain->motor.kt_n_m_a *
             drive_motor_per_position(&chain->drive, lift_rack_arm(&chain->lift, 0)));
    double motor_share = are_measured ? 0 : asked.motor_share; /* a weight gauges the motor, too */
    struct balance_gains gains = {m.best.value[GAIN_UP], m.best.value[GAIN_DOWN]};
    *result = (struct balance_test){
        .cosine_n_m = value_of(&m.best, &m.low, &m.high, &m.no_load, motor_share, COSINE),
        .sine_n_m = value_of(&m.best, &m.low, &m.high, &m.no_load, motor_share, SINE),
        .friction_n_m = value_of(&m.best, &m.low, &m.high, &m.no_load, motor_share, FRICTION),
        .gains = gains,
        .are_gains_measured = are_measured,
        .up_a_per_n_m = gains.up * a_per_n_m,
        .down_a_per_n_m = gains.down * a_per_n_m,
        .half_sum_n_m = m.half.value[COSINE],
        .deviation_n_m = m.best.deviation,
        .pattern_n_m = pattern_of(&given, &m.best),
        .samples = count,
    };
    result->sight = sight_of(result, asked.matters_n_m);
    return NULL;
}

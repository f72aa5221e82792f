#include "io/simulated/world/sim_train.h"

#include <math.h>
#include <stddef.h>

/* A crew stops this far short of its signal, or of the train ahead. Common practice, no source. */
static const double short_of_m = 0.03;

/* A pickup is never shorter than a wheel's contact. */
static const double pickup_least_m = 0.01;

static bool is_here(const struct sim_train *train) {
    return train->mode != SIM_TRAIN_AWAY;
}

static double signal_place(const struct simulation_track *track, const struct sim_train *train) {
    return sim_track_section(track, train->from_end, SIM_NEAR_APPROACH).to_m;
}

/* At its throttle's speed, or slower if it comes so near its signal that it could not stop there.
 */
static void enter(const struct simulation_setup *setup, struct sim_train *train, unsigned number) {
    const struct simulation_train *kind = &setup->train[number];
    double room = fmax(kind->start_before_m - short_of_m, 0);
    train->mode = SIM_TRAIN_RUNNING;
    train->from_end = kind->from_end;
    train->run.along_m = signal_place(&setup->track[kind->track], train) - kind->start_before_m;
    train->run.speed_m_s = kind->ignores_signals
                               ? kind->speed_m_s
                               : fmin(kind->speed_m_s, sqrt(2 * kind->braking_m_s2 * room));
    train->due_us = UINT64_MAX;
    train->is_warned = false;
    train->is_braking = false;
}

void sim_train_begin(const struct simulation_setup *setup, struct sim_train *trains) {
    for (unsigned i = 0; i < setup->trains; i++) {
        trains[i] = (struct sim_train){.mode = SIM_TRAIN_AWAY,
                                       .from_end = setup->train[i].from_end,
                                       .due_us = setup->train[i].start_us};
    }
}

static void tell(const struct sim_surroundings *around, const struct sim_train *trains,
                 unsigned number, const char *what) {
    const struct simulation_train *kind = &around->setup->train[number];
    sim_news_add(around->news, "%s from %s %s", kind->name,
                 around->setup->track[kind->track].end_name[trains[number].from_end], what);
}

/* What a train covers, for trains that come from `from_end`. */
static struct sim_stretch covered(const struct simulation_setup *setup,
                                  const struct sim_train *trains, unsigned number,
                                  unsigned from_end) {
    const struct simulation_train *kind = &setup->train[number];
    double front = trains[number].run.along_m;
    struct sim_stretch own = {front - kind->length_m, front};
    if (trains[number].from_end == from_end) {
        return own;
    }
    double length = sim_track_length(&setup->track[kind->track]);
    return (struct sim_stretch){length - own.to_m, length - own.from_m};
}

static bool overlap(struct sim_stretch a, struct sim_stretch b) {
    return a.from_m < b.to_m && b.from_m < a.to_m;
}

bool sim_train_is_on(const struct simulation_setup *setup, const struct sim_train *trains,
                     unsigned track, unsigned from_end, enum sim_section section) {
    struct sim_stretch stretch = sim_track_section(&setup->track[track], from_end, section);
    for (unsigned i = 0; i < setup->trains; i++) {
        if (setup->train[i].track == track && is_here(&trains[i]) &&
            overlap(covered(setup, trains, i, from_end), stretch)) {
            return true;
        }
    }
    return false;
}

bool sim_train_stands(const struct simulation_setup *setup, const struct sim_train *trains,
                      unsigned track, unsigned from_end) {
    struct sim_stretch approach =
        sim_track_section(&setup->track[track], from_end, SIM_NEAR_APPROACH);
    bool is_seen = false;
    for (unsigned i = 0; i < setup->trains; i++) {
        const struct sim_train *train = &trains[i];
        if (setup->train[i].track != track || !is_here(train) || train->from_end != from_end ||
            !overlap(covered(setup, trains, i, from_end), approach)) {
            continue;
        }
        if (train->run.speed_m_s > 0 || train->mode == SIM_TRAIN_BY_HAND) {
            return false;
        }
        is_seen = true;
    }
    return is_seen;
}

/* Current reaches it while any of its pickup is on live rail. Beyond the sections the rail is live.
 */
static bool has_current(const struct sim_surroundings *around, const struct sim_train *trains,
                        unsigned number) {
    if (sim_faults_is_on(around->faults, SIM_TRAIN_UNSTOPPABLE, number)) {
        return true;
    }
    const struct simulation_train *kind = &around->setup->train[number];
    const struct simulation_track *track = &around->setup->track[kind->track];
    const struct sim_train *train = &trains[number];
    double front = train->run.along_m;
    struct sim_stretch pickup = {front - fmax(kind->pickup_m, pickup_least_m), front};
    if (pickup.from_m < 0 || pickup.to_m > sim_track_length(track)) {
        return true;
    }
    for (int s = SIM_NEAR_APPROACH; s < SIM_SECTIONS; s++) {
        enum sim_section section = (enum sim_section)s;
        if (sim_track_is_powered(&around->track[kind->track], train->from_end, section) &&
            overlap(pickup, sim_track_section(track, train->from_end, section))) {
            return true;
        }
    }
    return false;
}

/* Room before what its crew would stop for; INFINITY: nothing, or a crew that does not look. */
static double room_ahead(const struct sim_surroundings *around, const struct sim_train *trains,
                         unsigned number) {
    const struct simulation_train *kind = &around->setup->train[number];
    const struct sim_train *train = &trains[number];
    bool is_blind =
        kind->ignores_signals || sim_faults_is_on(around->faults, SIM_TRAIN_BLIND, number);
    if ((is_blind && !train->is_warned) ||
        sim_faults_is_on(around->faults, SIM_TRAIN_UNSTOPPABLE, number)) {
        return INFINITY;
    }
    double front = train->run.along_m;
    double signal = signal_place(&around->setup->track[kind->track], train);
    double stop_at = INFINITY;
    if (front <= signal && !around->track[kind->track].signal[train->from_end].shows_proceed) {
        stop_at = signal;
    }
    for (unsigned i = 0; i < around->setup->trains; i++) {
        if (i == number || around->setup->train[i].track != kind->track || !is_here(&trains[i])) {
            continue;
        }
        double tail = covered(around->setup, trains, i, train->from_end).from_m;
        if (tail >= front && tail < stop_at) {
            stop_at = tail;
        }
    }
    return isfinite(stop_at) ? fmax(stop_at - short_of_m - front, 0) : INFINITY;
}

static void die(const struct sim_surroundings *around, struct sim_train *trains, unsigned number,
                uint64_t now_us) {
    const struct simulation_train *kind = &around->setup->train[number];
    struct sim_train *train = &trains[number];
    train->mode = SIM_TRAIN_DEAD;
    train->due_us = kind->set_back_us > 0 ? now_us + kind->set_back_us : UINT64_MAX;
    double span_ends =
        sim_track_section(&around->setup->track[kind->track], train->from_end, SIM_SPAN).to_m;
    double span_begins =
        sim_track_section(&around->setup->track[kind->track], train->from_end, SIM_SPAN).from_m;
    const char *what = train->run.along_m <= span_begins ? "stops: dead stop section"
                       : train->run.along_m <= span_ends ? "stops: dead span section"
                                                         : "stops: dead section past the span";
    tell(around, trains, number, what);
}

/* By hand it goes back behind its signal, or on, clear of the bridge, if it was nearly over. */
static void take_in_hand(const struct sim_surroundings *around, struct sim_train *trains,
                         unsigned number) {
    const struct simulation_train *kind = &around->setup->train[number];
    const struct simulation_track *track = &around->setup->track[kind->track];
    struct sim_train *train = &trains[number];
    bool goes_back = train->run.along_m <= sim_track_section(track, train->from_end, SIM_SPAN).to_m;
    double clear = sim_track_section(track, train->from_end, SIM_FAR_STOP).to_m + kind->length_m;
    train->hand_to_m = goes_back ? signal_place(track, train) - short_of_m : clear + short_of_m;
    train->mode = SIM_TRAIN_BY_HAND;
    train->due_us = UINT64_MAX;
    tell(around, trains, number,
         goes_back ? "is set back by hand behind its signal" : "is pushed clear by hand");
}

static void move_by_hand(const struct sim_surroundings *around, struct sim_train *trains,
                         unsigned number, double dt_s) {
    struct sim_train *train = &trains[number];
    double step = around->setup->train[number].set_back_speed_m_s * dt_s;
    double left = train->hand_to_m - train->run.along_m;
    if (fabs(left) > step) {
        train->run.along_m += copysign(step, left);
        return;
    }
    train->run.along_m = train->hand_to_m;
    train->mode = SIM_TRAIN_RUNNING;
    train->is_warned = true;
    train->is_braking = true; /* it stands there: no news until it starts */
}

static void leave(const struct sim_surroundings *around, struct sim_train *trains, unsigned number,
                  uint64_t now_us) {
    uint64_t return_us = around->setup->train[number].return_us;
    tell(around, trains, number, "leaves at the far end");
    trains[number].mode = SIM_TRAIN_AWAY;
    trains[number].due_us = return_us > 0 ? now_us + return_us : UINT64_MAX;
}

/* With the throttle open and current on the rail. */
static void drive(const struct sim_surroundings *around, struct sim_train *trains, unsigned number,
                  double dt_s) {
    const struct simulation_train *kind = &around->setup->train[number];
    struct sim_train *train = &trains[number];
    double room = room_ahead(around, trains, number);
    double before = train->run.speed_m_s;
    sim_run_drive(&train->run, kind->speed_m_s, kind->acceleration_m_s2, kind->braking_m_s2, room,
                  dt_s);
    double after = train->run.speed_m_s;
    if (before > 0 && after == 0) {
        tell(around, trains, number, "stands");
    } else if (after < before && !train->is_braking) {
        train->is_braking = true;
        tell(around, trains, number, "brakes");
    } else if (after > before && train->is_braking) {
        train->is_braking = false;
        tell(around, trains, number, before > 0 ? "speeds up again" : "starts");
    }
}

/* One train with a crew or a throttle of its own. */
static void run(const struct sim_surroundings *around, struct sim_train *trains, unsigned number,
                double dt_s, uint64_t now_us) {
    const struct simulation_train *kind = &around->setup->train[number];
    struct sim_train *train = &trains[number];
    double signal = signal_place(&around->setup->track[kind->track], train);
    bool was_before_signal = train->run.along_m <= signal;
    if (!has_current(around, trains, number)) {
        sim_run_slow(&train->run, kind->coasting_m_s2, dt_s);
        if (train->run.speed_m_s <= 0 && train->mode == SIM_TRAIN_RUNNING) {
            die(around, trains, number, now_us);
        }
    } else if (train->mode == SIM_TRAIN_HALTED) {
        sim_run_slow(&train->run, kind->braking_m_s2, dt_s);
    } else {
        drive(around, trains, number, dt_s);
    }
    if (was_before_signal && train->run.along_m > signal) {
        train->is_warned = false;
        if (!around->track[kind->track].signal[train->from_end].shows_proceed) {
            tell(around, trains, number, "passes its signal at stop");
        }
    }
}

static bool is_wrecked(const struct sim_surroundings *around, const struct sim_train *trains,
                       unsigned number) {
    const struct simulation_train *kind = &around->setup->train[number];
    unsigned from_end = trains[number].from_end;
    return around->is_gap_open &&
           overlap(covered(around->setup, trains, number, from_end),
                   sim_track_section(&around->setup->track[kind->track], from_end, SIM_SPAN));
}

static void step_one(const struct sim_surroundings *around, struct sim_train *trains,
                     unsigned number, double dt_s, uint64_t now_us) {
    struct sim_train *train = &trains[number];
    switch (train->mode) {
    case SIM_TRAIN_AWAY:
        if (now_us >= train->due_us) {
            enter(around->setup, train, number);
            tell(around, trains, number, "comes");
        }
        break;
    case SIM_TRAIN_RUNNING:
    case SIM_TRAIN_HALTED:
        run(around, trains, number, dt_s, now_us);
        break;
    case SIM_TRAIN_DEAD:
        if (has_current(around, trains, number)) {
            train->mode = SIM_TRAIN_RUNNING;
            train->due_us = UINT64_MAX;
            train->is_braking = false;
            tell(around, trains, number, "has current again and runs on");
        } else if (now_us >= train->due_us) {
            take_in_hand(around, trains, number);
        }
        break;
    case SIM_TRAIN_BY_HAND:
        move_by_hand(around, trains, number, dt_s);
        break;
    case SIM_TRAIN_WRECKED:
        break;
    }
}

bool sim_train_step(const struct sim_surroundings *around, struct sim_train *trains, double dt_s,
                    uint64_t now_us) {
    bool any_wrecked = false;
    for (unsigned i = 0; i < around->setup->trains; i++) {
        struct sim_train *train = &trains[i];
        step_one(around, trains, i, dt_s, now_us);
        if (!is_here(train) || train->mode == SIM_TRAIN_WRECKED) {
            continue;
        }
        const struct simulation_train *kind = &around->setup->train[i];
        if (is_wrecked(around, trains, i)) {
            train->mode = SIM_TRAIN_WRECKED;
            train->run.speed_m_s = 0;
            any_wrecked = true;
            tell(around, trains, i, "is wrecked: on the span while it is not down");
        } else if (train->run.along_m - kind->length_m >=
                   sim_track_length(&around->setup->track[kind->track])) {
            leave(around, trains, i, now_us);
        }
    }
    return any_wrecked;
}

static bool one_is_moving(const struct sim_surroundings *around, const struct sim_train *trains,
                          unsigned number) {
    const struct sim_train *train = &trains[number];
    switch (train->mode) {
    case SIM_TRAIN_AWAY:
    case SIM_TRAIN_WRECKED:
        return false;
    case SIM_TRAIN_HALTED:
        return train->run.speed_m_s > 0;
    case SIM_TRAIN_RUNNING: {
        /* Standing, it starts only with room enough to be worth it: sim_run's own limit. */
        struct sim_run next = train->run;
        const struct simulation_train *kind = &around->setup->train[number];
        if (next.speed_m_s > 0 || !has_current(around, trains, number)) {
            return true;
        }
        sim_run_drive(&next, kind->speed_m_s, kind->acceleration_m_s2, kind->braking_m_s2,
                      room_ahead(around, trains, number), 0.01);
        return next.speed_m_s > 0;
    }
    case SIM_TRAIN_DEAD:
        return has_current(around, trains, number);
    case SIM_TRAIN_BY_HAND:
        return true;
    }
    return false;
}

bool sim_train_is_moving(const struct sim_surroundings *around, const struct sim_train *trains) {
    for (unsigned i = 0; i < around->setup->trains; i++) {
        if (one_is_moving(around, trains, i)) {
            return true;
        }
    }
    return false;
}

uint64_t sim_train_due_us(const struct simulation_setup *setup, const struct sim_train *trains) {
    uint64_t due_us = UINT64_MAX;
    for (unsigned i = 0; i < setup->trains; i++) {
        bool waits = trains[i].mode == SIM_TRAIN_AWAY || trains[i].mode == SIM_TRAIN_DEAD;
        if (waits && trains[i].due_us < due_us) {
            due_us = trains[i].due_us;
        }
    }
    return due_us;
}

/* Its tail becomes its front, and it comes from the other end. */
static void turn_round(const struct simulation_setup *setup, struct sim_train *train,
                       unsigned number) {
    const struct simulation_train *kind = &setup->train[number];
    double length = sim_track_length(&setup->track[kind->track]);
    train->run.along_m = length - (train->run.along_m - kind->length_m);
    train->from_end = 1 - train->from_end;
    train->mode = SIM_TRAIN_RUNNING;
    train->due_us = UINT64_MAX;
    train->is_braking = true;
}

bool sim_train_command(const struct sim_surroundings *around, struct sim_train *trains,
                       unsigned number, enum sim_train_command command, struct error *error) {
    struct sim_train *train = &trains[number];
    const char *name = around->setup->train[number].name;
    if (command == SIM_TRAIN_GO_AWAY) {
        train->mode = SIM_TRAIN_AWAY;
        train->run.speed_m_s = 0;
        train->due_us = UINT64_MAX;
        tell(around, trains, number, "is taken off the track");
        return true;
    }
    if (command == SIM_TRAIN_START && !is_here(train)) {
        enter(around->setup, train, number);
        tell(around, trains, number, "comes");
        return true;
    }
    if (!is_here(train) || train->mode == SIM_TRAIN_WRECKED) {
        return error_set(error, "simulation", "train %s is %s", name,
                         is_here(train) ? "wrecked; take it off the track (gone)"
                                        : "not on the layout; start it");
    }
    switch (command) {
    case SIM_TRAIN_START:
        if (train->mode == SIM_TRAIN_HALTED) {
            train->mode = SIM_TRAIN_RUNNING;
            train->is_braking = true;
        }
        return true;
    case SIM_TRAIN_STOP:
        train->mode = SIM_TRAIN_HALTED;
        return true;
    case SIM_TRAIN_REVERSE:
        if (train->run.speed_m_s > 0) {
            return error_set(error, "simulation", "train %s moves; stop it first", name);
        }
        turn_round(around->setup, train, number);
        return true;
    case SIM_TRAIN_GO_AWAY:
        break;
    }
    return true;
}

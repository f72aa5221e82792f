/* The tracks: what is wired, and whether sections are long enough. */
#include "config/build/build.h"

#include <math.h>
#include <string.h>

/* Without a train to reckon with: a judgement, no source. */
static const double default_lock_s = 15;
/* On top of times that are reckoned from lengths and speeds: a judgement, no source. */
static const double reserve_s = 2;

/* As people measure it, to the next centimetre. */
static double enough_m(double needed_m) {
    return ceil(100 * needed_m) / 100;
}

static void check_lengths(const struct build *build, unsigned t, unsigned e) {
    const struct written_track *track = &build->written->tracks.item[t];
    const struct written_end *end = &track->ends.item[e];
    if (!track->fastest.is.is_given) {
        return;
    }
    const struct train braked = build_train_braked(&track->fastest, end->grade);
    const struct train dead = build_train_dead(&track->fastest, end->grade);
    if (train_stop_deceleration_m_s2(&braked) <= 0 || train_stop_deceleration_m_s2(&dead) <= 0) {
        build_misfit(
            build, build_place("/tracks/%u/ends/%u/grade", t, e).text,
            "pulls the worst train downhill harder than it %s: it would not stop before the gap",
            train_stop_deceleration_m_s2(&braked) <= 0 ? "brakes" : "coasts to rest");
        return;
    }
    double needed_m = train_stop_dead_section_m(&dead);
    double stopping_m = train_stop_distance_m(&braked);
    double stopping_s = train_stop_time_s(&braked);
    struct place stop = build_place("/tracks/%u/ends/%u/stop length", t, e);
    struct place approach = build_place("/tracks/%u/ends/%u/approach length", t, e);
    struct place lock = build_place("/tracks/%u/ends/%u/approach lock", t, e);
    if (!isfinite(needed_m) || !isfinite(stopping_m)) {
        return; /* speed or slowing of the train is wrong: told at its place */
    }
    if (isnan(end->stop_m)) {
        build_error(build, stop.text, "missing: needed for the check against \"trains\"");
    } else if (end->stop_m < needed_m) {
        build_misfit(build, stop.text,
                     "%.3g m is too short: the worst train takes %.3g m to stop without power, its "
                     "pickup and margin included; %.2f m is enough",
                     end->stop_m, needed_m, enough_m(needed_m));
    }
    if (end->approach_m < stopping_m) {
        build_misfit(
            build, approach.text,
            "%.3g m is too short: the worst train takes %.3g m to stop at the signal; %.2f m "
            "is enough",
            end->approach_m, stopping_m, enough_m(stopping_m));
    }
    if (end->approach_lock_s < stopping_s) {
        build_misfit(build, lock.text, "%.3g s is too short: the worst train takes %.3g s to stop",
                     end->approach_lock_s, stopping_s);
    }
}

static void set_end(const struct build *build, unsigned t, unsigned e) {
    const struct written_track *track = &build->written->tracks.item[t];
    const struct written_end *end = &track->ends.item[e];
    double lock_s = end->approach_lock_s;
    if (isnan(lock_s)) {
        const struct train braked = build_train_braked(&track->fastest, end->grade);
        double run_m = isnan(end->approach_m) ? 0 : end->approach_m;
        double needed_s = train_stop_approach_lock_s(&braked, run_m, reserve_s);
        lock_s = track->fastest.is.is_given && needed_s < 3600 ? needed_s : default_lock_s;
    }
    build->net->setup.track[t].end[e] =
        (struct track_end_setup){.is_used = true,
                                 .has_approach_detector = end->approach_detector,
                                 .has_standing_detector = end->standing_detector,
                                 .has_stop_detector = end->stop_detector,
                                 .has_signal_proof = end->signal_proof,
                                 .has_stop_power_proof = end->power_proof,
                                 .is_automatic = end->is_automatic,
                                 .approach_lock_us = build_us(lock_s)};
    memcpy(build->net->end_name[t][e], end->name, sizeof end->name);
    check_lengths(build, t, e);
}

static void check_names(const struct build *build, unsigned t) {
    const struct written_tracks *tracks = &build->written->tracks;
    const struct written_ends *ends = &tracks->item[t].ends;
    for (unsigned other = 0; other < t; other++) {
        if (strcmp(tracks->item[t].name, tracks->item[other].name) == 0) {
            build_error(build, build_place("/tracks/%u/name", t).text,
                        "\"%s\" is already the name of track %u", tracks->item[t].name, other);
        }
    }
    if (ends->list.count == TRACK_ENDS && strcmp(ends->item[0].name, ends->item[1].name) == 0) {
        build_error(build, build_place("/tracks/%u/ends/1/name", t).text,
                    "\"%s\" is already the name of the other end", ends->item[1].name);
    }
}

struct train build_train_braked(const struct written_fastest *train, double grade) {
    return (struct train){.speed_m_s = train->speed_m_s,
                          .deceleration_m_s2 = train->braking_m_s2,
                          .grade = grade,
                          .reaction_s = train->reaction_s};
}

struct train build_train_dead(const struct written_fastest *train, double grade) {
    return (struct train){.speed_m_s = train->speed_m_s,
                          .deceleration_m_s2 = train->coasting_m_s2,
                          .grade = grade,
                          .pickup_span_m = train->pickup_m,
                          .margin_m = train->margin_m};
}

static void check_slowest(const struct build *build, unsigned t) {
    const struct written_fastest *train = &build->written->tracks.item[t].fastest;
    if (train->slowest_m_s > train->speed_m_s) {
        build_error(build, build_place("/tracks/%u/trains/slowest", t).text,
                    "%.3g m/s is faster than the fastest, %.3g m/s", train->slowest_m_s,
                    train->speed_m_s);
    }
}

static void check_train(const struct build *build, unsigned t) {
    const struct written_fastest *train = &build->written->tracks.item[t].fastest;
    if (train->length_m < train->pickup_m) {
        build_error(build, build_place("/tracks/%u/trains/length", t).text,
                    "%.3g m is shorter than its \"pickup\" of %.3g m, which is a part of the train",
                    train->length_m, train->pickup_m);
    }
}

void build_tracks(struct build *build) {
    const struct written_tracks *tracks = &build->written->tracks;
    build->net->setup.tracks = tracks->list.count;
    for (unsigned t = 0; t < tracks->list.count; t++) {
        const struct written_track *track = &tracks->item[t];
        build->net->setup.track[t].has_span_detector = track->span_detector;
        build->net->setup.track[t].has_span_power_proof = track->span_power_proof;
        memcpy(build->net->track_name[t], track->name, sizeof track->name);
        for (unsigned e = 0; e < track->ends.list.count; e++) {
            set_end(build, t, e);
        }
        check_train(build, t);
        check_slowest(build, t);
        check_names(build, t);
    }
    build_unwatched(build);
}

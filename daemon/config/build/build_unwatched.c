/* Sections without a detector: what stands for one, a time or a person's word; and how long an
 * opening may wait for trains, which must allow for that time. */
#include "config/build/build.h"
#include "core/unwatched.h"

#include <math.h>

/* On top of times that are calculated from lengths and speeds: a judgement, no source. */
static const double reserve_s = 2;
/* The clearing limit where no opening needs more: a judgement, no source; and the most that may be
 * written. */
static const double usual_clearing_s = 600, most_clearing_s = 3600;

/* All of the track that belongs to the bridge, but for its approaches; NAN: a length is not given.
 */
static double bridge_m(const struct written_track *track) {
    double way_m = track->span_m;
    for (unsigned e = 0; e < track->ends.list.count; e++) {
        way_m += track->ends.item[e].stop_m;
    }
    return way_m;
}

/* The longest way from the far end of an approach until all of the train is off the bridge; NAN: a
 * length is not given. */
static double run_out_m(const struct written_track *track) {
    double longest_m = 0;
    for (unsigned e = 0; e < track->ends.list.count; e++) {
        double approach_m = track->ends.item[e].approach_m;
        longest_m = isnan(approach_m) || approach_m > longest_m ? approach_m : longest_m;
    }
    return longest_m + bridge_m(track) + track->fastest.length_m;
}

static double run_out_s(const struct written_track *track) {
    return isnan(track->run_out_s) ? run_out_m(track) / track->fastest.slowest_m_s + reserve_s
                                   : track->run_out_s;
}

/* How long every opening waits for what no detector sees; 0: for a person's word, or for nothing.
 */
static double waited_s(const struct build *build, unsigned t) {
    const struct written_track *track = &build->written->tracks.item[t];
    double time_s = run_out_s(track);
    bool is_timed = unwatched_is(&build->net->setup.track[t]) &&
                    track->unwatched != WRITTEN_BY_WORD && !isnan(time_s);
    return is_timed ? time_s : 0;
}

/* The longest that a train which keeps moving is seen on an approach after the signals have gone to
 * stop: from one far end to the other. Without lengths twice the time to run out, for the other
 * approach takes less than that. */
static double stay_s(const struct written_track *track) {
    double way_m = bridge_m(track) + track->fastest.length_m;
    for (unsigned e = 0; e < track->ends.list.count; e++) {
        way_m += track->ends.item[e].approach_m;
    }
    double time_s = way_m / track->fastest.slowest_m_s + reserve_s;
    return isnan(time_s) ? 2 * run_out_s(track) : time_s;
}

static bool has_approach_detector(const struct written_track *track) {
    for (unsigned e = 0; e < track->ends.list.count; e++) {
        if (track->ends.item[e].approach_detector) {
            return true;
        }
    }
    return false;
}

/* The longest that an opening waits for trains that keep moving: the time to run out begins anew
 * when one is believed to have left an approach. 0: no time is waited for. */
static double longest_clearing_s(const struct build *build, unsigned t) {
    const struct written_track *track = &build->written->tracks.item[t];
    const struct written_timing *timing = &build->written->timing;
    double time_s = waited_s(build, t);
    if (time_s == 0) {
        return 0;
    }
    double left_s = has_approach_detector(track) ? stay_s(track) + timing->clear_s : 0;
    return timing->proof_limit_s + left_s + time_s;
}

static double clearing_limit_s(const struct build *build) {
    const struct written_bridge *written = build->written;
    double limit_s = usual_clearing_s;
    if (!isnan(written->timing.clearing_limit_s)) {
        return written->timing.clearing_limit_s;
    }
    for (unsigned t = 0; t < written->tracks.list.count; t++) {
        limit_s = fmax(limit_s, longest_clearing_s(build, t));
    }
    return fmin(limit_s, most_clearing_s);
}

static void check_time(const struct build *build, unsigned t) {
    const struct written_track *track = &build->written->tracks.item[t];
    struct place where = build_place("/tracks/%u/run out", t);
    double needed_s = longest_clearing_s(build, t);
    double limit_s = clearing_limit_s(build);
    if (track->unwatched == WRITTEN_BY_TIME && isnan(run_out_s(track))) {
        build_error(build, where.text,
                    "missing: it is not known how long a train takes to leave; give it, or "
                    "\"slowest\" and \"length\" of the trains and every length of the track");
    } else if (needed_s > limit_s) {
        build_misfit(
            build, where.text,
            "%.4g s is too long: an opening may wait %.4g s for trains%s, and the clearing "
            "limit is %.4g s; raise that, or rely on \"word\"",
            run_out_s(track), needed_s,
            has_approach_detector(track) ? ", for the time begins anew when one leaves an "
                                           "approach that has a detector"
                                         : "",
            limit_s);
    }
}

static void set_unwatched(struct build *build, unsigned t) {
    double time_s = waited_s(build, t);
    struct place where = build_place("/tracks/%u", t);
    check_time(build, t);
    build->net->setup.track[t].run_out_us = build_us(time_s);
    if (!build_is_kind_known(build) || build_is_hand(build)) {
        return; /* a hand opens it when it likes, and nothing is driven */
    }
    if (time_s > 0) {
        build_warning(build, where.text,
                      "not every section has a detector: each opening waits %.3g s for trains to "
                      "leave, and does not see one that has stopped there",
                      time_s);
    } else {
        build_warning(build, where.text,
                      "not every section has a detector: each opening waits for a person to report "
                      "the span seen clear");
    }
}

void build_unwatched(struct build *build) {
    build->net->setup.clearing_limit_us = build_us(clearing_limit_s(build));
    for (unsigned t = 0; t < build->written->tracks.list.count; t++) {
        if (unwatched_is(&build->net->setup.track[t])) {
            set_unwatched(build, t);
        }
    }
}

/* What nothing guards: a mistake, with what to add. */
#include "config/build/build.h"
#include "core/words/guard_words.h"

/* Where the first thing that could be added is said. */
static struct place place_of(const struct guard_row *row) {
    switch (row->thing) {
    case GUARD_STOP_FREE:
        return build_place("/tracks/%u/ends/%u/stop detector", row->track, row->end);
    case GUARD_SPAN_FREE:
        return build_place("/tracks/%u/span detector", row->track);
    case GUARD_LOCKED:
        return build_place("/contacts/locked");
    case GUARD_WITHDRAWN:
        return build_place("/contacts/withdrawn");
    case GUARD_SEAT_STICKS:
        return build_place("/contacts/rails");
    case GUARD_OPEN:
        return build_place("/contacts/open");
    case GUARD_SIGNAL:
    case GUARD_APPROACH:
    case GUARD_STOP_DEAD:
    case GUARD_STOP_TRAINS:
    case GUARD_STOP_LEFT:
    case GUARD_STOP_COMES:
    case GUARD_SPAN_DEAD:
    case GUARD_SPAN_TRAINS:
    case GUARD_SPAN_LEFT:
    case GUARD_SPAN_COMES:
    case GUARD_SEATED:
    case GUARD_RAILS:
    case GUARD_HAND_LOCK:
    case GUARD_HAND_LIFT:
    case GUARD_OPEN_FAILS:
    case GUARD_BLOCKED:
    case GUARD_PLACE:
    case GUARD_STOP:
    case GUARD_THINGS:
        break;
    }
    return build_place("%s", "");
}

/* Every row by itself: the places differ. */
static void complain(const struct build *build, const struct guard_row *row) {
    const struct guards alone = {.rows = 1, .row = {*row}};
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    struct guard_words words;
    net_name_tracks(build->net, tracks);
    guards_describe(&alone, 0, tracks, &words);
    build_error(build, place_of(row).text, "not guarded: %s (%s): add %s", words.condition,
                words.invariants, row->add);
}

void build_guards(const struct build *build) {
    struct guards guards;
    if (!build_is_kind_known(build)) {
        return;
    }
    guards_of(&build->net->setup, &guards);
    for (unsigned i = 0; i < guards.rows; i++) {
        if (guards.row[i].how == GUARD_MISSING) {
            complain(build, &guards.row[i]);
        }
    }
}

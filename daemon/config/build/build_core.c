/* Contacts, lock, warning and waits: and whether the core can keep its invariants with them. */
#include "config/build/build.h"

#include <string.h>

/* Rail contacts make only where the rails meet; nothing else is as near to what a train needs. */
static void check_seat_witness(const struct build *build) {
    const struct written_contacts *contacts = &build->written->contacts;
    if (contacts->rails > 0) {
        return;
    }
    bool is_near_told = contacts->nearly_seated || build->written->sensors.position;
    build_warning(build, "/contacts/rails",
                  "without one, a seated contact that sticks made can by itself let trains onto a "
                  "raised span, %s",
                  is_near_told ? "if only a little" : "even wide open");
}

static bool has_lock(const struct build *build) {
    const struct written_contacts *contacts = &build->written->contacts;
    return build->written->lock.is.is_given || contacts->locked || contacts->withdrawn;
}

/* A contact of the bar that is not there: what stands for it, or that nothing does. */
static void check_bar_contact(const struct build *build, const char *place, const char *needed,
                              const char *instead) {
    if (build->written->lock.is_driven) {
        build_warning(build, place, "without it %s for its whole \"limit\"%s",
                      "the bar counts as there once its drive has been put out", instead);
    } else {
        build_error(build, place,
                    "needed: without it a bar worked by hand is never %s; a span without a bar has "
                    "neither \"lock\" nor a lock contact",
                    needed);
    }
}

static void check_lock(const struct build *build) {
    const struct written_contacts *contacts = &build->written->contacts;
    if (!has_lock(build)) {
        build_warning(build, "/lock",
                      "without a bar nothing holds the span down: it counts as locked while it is "
                      "seated");
        return;
    }
    if (!contacts->locked) {
        check_bar_contact(build, "/contacts/locked", "proved locked (S1)",
                          "; after each start the seated span needs a request to lower, which "
                          "drives the bar again");
    }
    if (!contacts->withdrawn && build_is_kind_known(build) && !build_is_hand(build)) {
        check_bar_contact(build, "/contacts/withdrawn", "proved withdrawn (S3)", "");
    }
}

static void check_hand_sensors(const struct build *build) {
    if (build->written->sensors.position) {
        build_error(build, "/sensors/position", "a span moved by hand has no measured position");
    }
    if (build->written->sensors.current) {
        build_error(build, "/sensors/current", "a span moved by hand has no motor");
    }
}

static void check_contacts(const struct build *build) {
    const struct written_contacts *contacts = &build->written->contacts;
    if (!contacts->seated) {
        build_error(build, "/contacts/seated",
                    "needed: without it the span is never proved seated (S1)");
    }
    check_lock(build);
    if (!build_is_kind_known(build)) {
        return;
    }
    if (build_is_hand(build)) {
        if (build->written->lock.is_driven) {
            build_error(build, "/lock/driven", "a span moved by hand has no lock drive");
        }
        check_hand_sensors(build);
        if (!contacts->open) {
            build_warning(build, "/contacts/open",
                          "without it a span moved by hand is never known to be open: the river "
                          "lights stay red, and a request to raise it never completes");
        }
        return;
    }
    if (!contacts->open && !build->written->sensors.position) {
        build_error(build, "/contacts/open",
                    "needed by a powered lift without a position sensor: nothing else ends the "
                    "opening");
    }
    check_seat_witness(build);
}

/* Where a fault that the core finds most likely comes from. */
static const char *place_of(const char *fault) {
    static const struct {
        const char *words;
        const char *place;
    } places[] = {
        {"rail", "/contacts/rails"}, {"lock drive", "/lock/driven"}, {"lock bar", "/lock"},
        {"withdrawn", "/contacts"},  {"open contact", "/contacts"},  {"blast", "/warning"},
        {"proof", "/timing"},        {"track", "/tracks"},           {"approach", "/tracks"},
        {"speed", "/motion"},        {"acceleration", "/motion"},    {"zone", "/motion"},
        {"tolerance", "/motion"},    {"stall", "/motion"},           {"watch", "/motion"},
        {"push", "/motion"},         {"effort", "/motion"},
    };
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        if (strstr(fault, places[i].words) != NULL) {
            return places[i].place;
        }
    }
    return "";
}

void build_core(struct build *build) {
    const struct written_bridge *written = build->written;
    const struct written_contacts *contacts = &written->contacts;
    struct bridge_setup *setup = &build->net->setup;
    check_contacts(build);
    setup->is_hand_lifted = build_is_hand(build);
    setup->has_lock = has_lock(build);
    setup->has_lock_drive = written->lock.is_driven;
    setup->has_nearly_seated = contacts->nearly_seated;
    setup->has_nearly_open = contacts->nearly_open;
    setup->has_open = contacts->open;
    setup->has_overtravel = contacts->overtravel;
    setup->has_stop_circuit = contacts->stop_circuit;
    setup->has_locked = contacts->locked;
    setup->has_withdrawn = contacts->withdrawn;
    setup->rails = contacts->rails;
    setup->debounce_us = build_us(contacts->debounce_s);
    setup->clear_us = build_us(written->timing.clear_s);
    setup->proof_limit_us = build_us(written->timing.proof_limit_s);
    setup->lock_limit_us = build_us(written->lock.limit_s);
    setup->warning_us = build_us(written->warning.least_s);
    setup->short_blast_us = build_us(written->warning.short_blast_s);
    setup->prolonged_blast_us = build_us(written->warning.prolonged_blast_s);
    setup->blast_gap_us = build_us(written->warning.gap_s);
    build_guards(build);
    if (!build_has_errors(build)) {
        const char *fault = bridge_setup_fault(setup);
        if (fault != NULL) {
            build_error(build, place_of(fault), "%s", fault);
        }
    }
}

/* The first step: every contact, read live and worked by hand, under a latched emergency stop. */
#include "tools/drawtender/commission/commission.h"

#include <string.h>

static const char prefix[] = "contact ";

static bool is_contact(const struct picture_device *device) {
    return device->group == SRCP_FB && strncmp(device->label, prefix, sizeof prefix - 1) == 0;
}

static const char *name_of(const struct picture_device *device) {
    return device->label + sizeof prefix - 1;
}

static const struct bridge_setup *setup_of(const struct commission *commission) {
    return &commission->config.net.bridge[commission->bridge].setup;
}

/* What no contact tells of a bar has nothing to be worked by hand. */
static void tell_inferred(const struct commission *commission) {
    const struct bridge_setup *setup = setup_of(commission);
    const struct {
        const char *name;
        bool is_there;
    } rows[] = {{"locked", setup->has_locked}, {"withdrawn", setup->has_withdrawn}};
    for (size_t i = 0; setup->has_lock_drive && i < sizeof rows / sizeof rows[0]; i++) {
        if (!rows[i].is_there) {
            commission_say(commission,
                           "  %s: no contact; the bridge believes it by time, once the "
                           "bar's drive has run its longest time.\n",
                           rows[i].name);
        }
    }
}

/* Only a look: why a reading is wrong, a hand at the contact tells. */
static enum outcome look_at_rest(struct commission *commission) {
    const struct picture *picture = &commission->tool->link.picture;
    bool is_seated;
    if (!person_yes(&commission->person,
                    setup_of(commission)->has_lock
                        ? "Can you see that the span is seated and locked? (yes, no)"
                        : "Can you see that the span is seated? (yes, no)",
                    &is_seated)) {
        return commission_left(commission);
    }
    for (size_t i = 0; is_seated && i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        int wanted = is_contact(device) ? findings_seated_reading(name_of(device)) : -1;
        int32_t reads = picture_value(device, 0, -1);
        if (wanted >= 0 && reads != wanted) {
            commission_say(commission, "  %s reads %s, and should read %s with the span seated.\n",
                           name_of(device), reads == 1 ? "made" : "open",
                           wanted == 1 ? "made" : "open");
        }
    }
    return OUTCOME_DONE;
}

/* All contacts' readings, as bits. */
static uint64_t readings(const struct picture *picture) {
    uint64_t bits = 0;
    for (size_t i = 0, at = 0; i < picture->devices && at < 64; i++) {
        if (is_contact(&picture->device[i])) {
            bits |= (uint64_t)(picture_value(&picture->device[i], 0, 0) == 1) << at++;
        }
    }
    return bits;
}

/* Asks for a hand at the contact. False: left. */
static bool hand(struct commission *commission, const char *name, const char *how, bool *is_skipped,
                 uint64_t *bits) {
    char question[160];
    char line[PERSON_LINE_SIZE];
    snprintf(question, sizeof question, "%s: %s, keep it so and press Enter (s: skip):", name, how);
    if (!person_line(&commission->person, question, line)) {
        return false;
    }
    struct error error;
    if (bridge_link_catch_up(&commission->tool->link, &error) != OUTCOME_DONE) {
        commission->person.is_lost = commission->person.has_left = true;
        return false;
    }
    *is_skipped = strcmp(line, "s") == 0;
    *bits = readings(&commission->tool->link.picture);
    return true;
}

static enum outcome work(struct commission *commission, const char *name, unsigned at,
                         unsigned *bad) {
    bool is_skipped = false;
    uint64_t made = 0;
    uint64_t away = 0;
    if (!hand(commission, name, "make it", &is_skipped, &made) ||
        (!is_skipped && !hand(commission, name, "open it", &is_skipped, &away))) {
        return commission_left(commission);
    }
    if (is_skipped) {
        commission_say(commission, "  %s: skipped\n", name);
        return OUTCOME_DONE;
    }
    const struct findings_contact seen = {
        .read_when_made = (made >> at & 1) != 0,
        .read_when_away = (away >> at & 1) != 0,
        .has_other_changed = ((made ^ away) & ~(UINT64_C(1) << at)) != 0,
    };
    *bad += !commission_report(commission, name, findings_of_contact(&seen));
    return OUTCOME_DONE;
}

static enum outcome work_all(struct commission *commission) {
    const struct picture *picture = &commission->tool->link.picture;
    enum outcome outcome = OUTCOME_DONE;
    unsigned bad = 0;
    unsigned at = 0;
    for (size_t i = 0; i < picture->devices && outcome == OUTCOME_DONE; i++) {
        if (is_contact(&picture->device[i])) {
            outcome = work(commission, name_of(&picture->device[i]), at++, &bad);
        }
    }
    if (outcome == OUTCOME_DONE && at == 0) {
        error_set(&commission->tool->error, "",
                  "the server does not report raw contacts: add \"contacts\" to \"addresses\"");
        return OUTCOME_REFUSED;
    }
    if (outcome == OUTCOME_DONE && bad > 0) {
        error_set(&commission->tool->error, "",
                  "contacts to fix first: %u; the emergency stop stays latched", bad);
        return OUTCOME_REFUSED;
    }
    return outcome;
}

static enum outcome release(struct commission *commission) {
    static const char *const known[] = {"lined", "open", "held", NULL};
    if (!person_enter(&commission->person, "All contacts released, all hands clear? Enter releases "
                                           "the emergency stop; nothing moves yet:")) {
        return commission_left(commission);
    }
    enum outcome outcome = commission_set(commission, COMMISSION_ACKNOWLEDGE, 1);
    return outcome == OUTCOME_DONE ? commission_wait(commission, known, NULL) : outcome;
}

/* Else a person works at it in vain, and the step ends with contacts to be mended. */
static void tell_of_simulation(const struct commission *commission) {
    if (commission->config.bridge[commission->bridge].has_simulation) {
        commission_say(
            commission,
            "This bridge is simulated: its contacts cannot be worked by hand. Skip each with s.\n");
    }
}

enum outcome commission_contacts(struct commission *commission) {
    commission_say(commission,
                   "\nStep 1: contacts. Nothing moves: an emergency stop is latched first, so that "
                   "nothing is driven or powered whatever the contacts read.\n");
    tell_of_simulation(commission);
    enum outcome outcome = commission_set(commission, COMMISSION_EMERGENCY_STOP, 1);
    if (outcome == OUTCOME_DONE) {
        person_show_readings(&commission->person, true);
        tell_inferred(commission);
        outcome = look_at_rest(commission);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = work_all(commission);
    }
    return outcome == OUTCOME_DONE ? release(commission) : outcome;
}

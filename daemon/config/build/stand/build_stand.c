/* The stand: who is wired where, and whether each button has what it needs. */
#include "config/build/stand/build_stand.h"

#include "base/text/near.h"
#include "config/tables/stand_keys.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- input devices */

static void set_devices(struct standing *standing) {
    struct stand_setup *setup = standing->setup;
    setup->devices = standing->written->devices.list.count;
    for (unsigned i = 0; i < setup->devices; i++) {
        const struct written_stand_device *written = &standing->written->devices.item[i];
        struct stand_device *device = &setup->device[i];
        memcpy(device->name, written->name, sizeof device->name);
        memcpy(device->device, written->device, sizeof device->device);
        device->is_shared = written->is_shared;
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(device->name, setup->device[other].name) == 0) {
                build_error(standing->build, build_place("/stand/devices/%u/name", i).text,
                            "\"%s\" is already the name of device %u", device->name, other);
            }
        }
    }
}

bool build_stand_find_device(const struct standing *standing, struct place place,
                             const char *written, unsigned *device) {
    struct near near = near_begin(written);
    for (*device = 0; *device < standing->setup->devices; (*device)++) {
        const char *name = standing->setup->device[*device].name;
        if (written[0] == '\0' || strcmp(name, written) == 0) {
            return true;
        }
        near_offer(&near, name);
    }
    return near.best != NULL
               ? build_error(standing->build, place.text,
                             "there is no device \"%s\" (did you mean \"%s\"?)", written, near.best)
               : build_error(standing->build, place.text, "there is no device \"%s\"", written);
}

/* ---- controls */

/* Closed-circuit principle (49 CFR 236.5; from memory): a broken wire is not a press. The second
 * contact may work the other way round: then its broken wire disagrees with the first. */
static void check_broken_wire(const struct standing *standing, unsigned i,
                              const struct wired_pin *pin) {
    if (pin->is_used && pin->pull == (pin->is_active_low ? WIRED_PULL_DOWN : WIRED_PULL_UP)) {
        build_error(standing->build, build_place("/stand/controls/%u/pin/pull", i).text,
                    "with this pull a broken wire would read as made: wanted \"%s\" for a contact "
                    "that is active \"%s\"",
                    pin->is_active_low ? "up" : "down", pin->is_active_low ? "low" : "high");
    }
}

static void set_contact(struct standing *standing, unsigned i, struct stand_control *control) {
    const struct written_control *written = &standing->written->controls.item[i];
    struct wired_setup *terminals = &standing->setup->terminals;
    struct wired_input *input = &terminals->input[terminals->inputs];
    control->input = terminals->inputs++;
    *input = (struct wired_input){.differ_us = build_us(written->differ_s)};
    build_pins_set(&standing->pins, build_place("/stand/controls/%u/pin", i).text, &written->pin,
                   &input->pin);
    build_pins_set(&standing->pins, build_place("/stand/controls/%u/second", i).text,
                   &written->second, &input->second);
    check_broken_wire(standing, i, &input->pin);
}

static void set_key(struct standing *standing, unsigned i, struct stand_control *control) {
    const struct written_control *written = &standing->written->controls.item[i];
    struct place place = build_place("/stand/controls/%u/key", i);
    const char *meant = NULL;
    control->is_key = true;
    build_stand_find_device(standing, build_place("/stand/controls/%u/device", i), written->device,
                            &control->device);
    if (!stand_key_find(written->key, &control->key, &meant)) {
        build_error(standing->build, place.text,
                    meant != NULL
                        ? "there is no key \"%s\" (did you mean \"%s\"?)"
                        : "there is no key \"%s\"; wanted a name as \"KEY_R\", or a number",
                    written->key, meant);
    }
    for (unsigned other = 0; other < i; other++) {
        const struct stand_control *one = &standing->setup->control[other];
        if (one->is_key && one->device == control->device && one->key == control->key) {
            build_error(standing->build, place.text, "is the key of control %u already", other);
        }
    }
}

static uint32_t stuck_us(const struct written_control *written) {
    enum { BUTTON_S = 30, GRIP_S = 300 };
    if (stand_control_is_switch((enum stand_control_kind)written->kind)) {
        return 0;
    }
    if (!isnan(written->stuck_s)) {
        return build_us(written->stuck_s);
    }
    return build_us(written->kind == STAND_GRIP ? GRIP_S : BUTTON_S);
}

/* There is one of each that is not simply pressed: two would have to agree. */
static void check_single(const struct standing *standing, unsigned i) {
    enum stand_control_kind kind = standing->setup->control[i].kind;
    bool is_single = kind == STAND_KEY_SWITCH || kind == STAND_LOCAL || kind == STAND_GRIP;
    for (unsigned other = 0; is_single && other < i; other++) {
        if (standing->setup->control[other].kind == kind) {
            build_error(standing->build, build_place("/stand/controls/%u/asks", i).text,
                        "is that of control %u already: there can be only one", other);
        }
    }
}

static void add_control(struct standing *standing, unsigned i) {
    const struct written_control *written = &standing->written->controls.item[i];
    struct stand_control *control = &standing->setup->control[i];
    struct place place = build_place("/stand/controls/%u", i);
    bool has_pin = written->pin.is.is_given, has_key = written->key[0] != '\0';
    if (written->kind < 0) {
        return;
    }
    *control = (struct stand_control){.kind = (enum stand_control_kind)written->kind,
                                      .debounce_us = has_key ? 0 : build_us(written->debounce_s),
                                      .stuck_us = stuck_us(written)};
    if (has_pin == has_key) {
        build_error(standing->build, place.text, "wanted either a \"pin\" or a \"key\"");
    } else if (has_key && control->kind == STAND_EMERGENCY_STOP) {
        build_error(
            standing->build, place.text,
            "wanted a \"pin\": a device that is unplugged could not ask for an emergency stop");
    } else if (has_key) {
        set_key(standing, i, control);
    } else {
        set_contact(standing, i, control);
    }
    check_single(standing, i);
}

bool build_stand_has(const struct standing *standing, enum stand_control_kind kind) {
    for (unsigned i = 0; i < standing->setup->controls; i++) {
        if (standing->setup->control[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static void set_controls(struct standing *standing) {
    standing->setup->controls = standing->written->controls.list.count;
    for (unsigned i = 0; i < standing->setup->controls; i++) {
        add_control(standing, i);
    }
    bool moves = build_stand_has(standing, STAND_RAISE) || build_stand_has(standing, STAND_LOWER) ||
                 standing->setup->throttle.kind != STAND_THROTTLE_NONE;
    if (moves && !build_stand_has(standing, STAND_STOP) &&
        !build_stand_has(standing, STAND_EMERGENCY_STOP)) {
        build_warning(standing->build, "/stand/controls",
                      "the span can be moved from this stand and not stopped from it: fit a "
                      "\"stop\"");
    }
}

/* ---- one terminal, one thing */

static void check_pin(const struct standing *standing, const struct wired_pin *pin) {
    const struct config_bridge *first = standing->build->bridge - standing->build->index;
    const struct wired_setup *own = &standing->setup->terminals;
    for (unsigned b = 0; b <= standing->build->index; b++) {
        bool is_of_stand = b < standing->build->index &&
                           build_wired_has_pin(&first[b].stand.terminals, own->chip, pin);
        if (build_wired_has_pin(&first[b].wired, own->chip, pin) || is_of_stand) {
            build_error(standing->build, "/stand",
                        "line %u of \"%.60s\" is wired to a bridge, or to another stand, already",
                        pin->offset, own->chip[pin->chip].device);
        }
    }
}

static void check_taken(const struct standing *standing) {
    for (unsigned i = 0; i < standing->pins.count; i++) {
        check_pin(standing, &standing->pins.pin[i]);
    }
}

/* ---- the whole */

static void build_all(struct standing *standing) {
    build_pins_set_chips(&standing->pins, &standing->written->chips);
    set_devices(standing);
    build_stand_throttle(standing);
    set_controls(standing);
    build_stand_grip(standing);
    build_stand_lamps(standing);
    check_taken(standing);
}

void build_stand(struct build *build) {
    if (!build->written->stand.is.is_given) {
        return;
    }
    struct standing *standing = calloc(1, sizeof *standing);
    if (standing == NULL) {
        build_error(build, "/stand", "out of memory");
        return;
    }
    standing->build = build;
    standing->written = &build->written->stand;
    standing->setup = &build->bridge->stand;
    standing->setup->is_there = true;
    standing->pins =
        (struct pins){.build = build, .block = "/stand", .setup = &standing->setup->terminals};
    build_all(standing);
    free(standing);
}

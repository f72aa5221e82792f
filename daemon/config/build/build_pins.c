#include "config/build/build_pins.h"

#include "base/text/near.h"

#include <string.h>

void build_pins_set_chips(struct pins *pins, const struct written_chips *written) {
    struct wired_setup *setup = pins->setup;
    setup->chips = written->list.count;
    for (unsigned i = 0; i < setup->chips; i++) {
        struct wired_chip *chip = &setup->chip[i];
        memcpy(chip->name, written->item[i].name, sizeof chip->name);
        memcpy(chip->device, written->item[i].device, sizeof chip->device);
        chip->poll_us = build_us(written->item[i].poll_s);
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(chip->name, setup->chip[other].name) == 0) {
                build_error(pins->build, build_place("%s/chips/%u/name", pins->block, i).text,
                            "\"%s\" is already the name of chip %u", chip->name, other);
            }
        }
    }
}

static bool find_chip(const struct pins *pins, const char *place, const char *written,
                      unsigned *chip) {
    struct near near = near_begin(written);
    for (*chip = 0; *chip < pins->setup->chips; (*chip)++) {
        const char *name = pins->setup->chip[*chip].name;
        if (written[0] == '\0' || strcmp(name, written) == 0) {
            return true;
        }
        near_offer(&near, name);
    }
    return near.best != NULL
               ? build_error(pins->build, place, "there is no chip \"%s\" (did you mean \"%s\"?)",
                             written, near.best)
               : build_error(pins->build, place, "there is no chip \"%s\"", written);
}

static bool is_taken(const struct pins *pins, const struct wired_pin *pin) {
    for (unsigned i = 0; i < pins->count; i++) {
        if (strcmp(pins->setup->chip[pins->pin[i].chip].device,
                   pins->setup->chip[pin->chip].device) == 0 &&
            pins->pin[i].offset == pin->offset) {
            return true;
        }
    }
    return false;
}

void build_pins_set(struct pins *pins, const char *place, const struct written_pin *written,
                    struct wired_pin *pin) {
    if (!written->is.is_given || written->offset == FIELD_NO_NUMBER) {
        return;
    }
    *pin = (struct wired_pin){.is_used = true,
                              .offset = written->offset,
                              .is_active_low = written->active == 1,
                              .pull = (enum wired_pull)written->pull};
    if (!find_chip(pins, build_place("%s/chip", place).text, written->chip, &pin->chip)) {
        *pin = (struct wired_pin){.is_used = false};
    } else if (is_taken(pins, pin)) {
        build_error(pins->build, build_place("%s/line", place).text,
                    "line %u of this chip is already wired to something else", pin->offset);
    } else if (pins->count < PINS_MAX) {
        pins->pin[pins->count++] = *pin;
    }
}

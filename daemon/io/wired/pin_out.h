/* pin_out.h: one GPIO output, in terms of on and off. In a dry run nothing is requested or driven;
 * what would be is logged. */
#ifndef IO_PIN_OUT_H
#define IO_PIN_OUT_H

#include "core/words/lines.h"
#include "io/kernel/gpio.h"
#include "io/line_label.h"

struct pin_out {
    const struct gpio_ops *gpio;
    const struct wired_pin *pin; /* NULL, or not used: there is none, all is well */
    void *handle;                /* NULL: not open */
    char label[LINE_LABEL_SIZE];
    bool is_dry;
    bool is_on, is_known; /* that it was put so */
};

/* Requested as off. `label` is for people. */
bool pin_out_open(struct pin_out *out, const struct wired_pin *pin, const struct wired_chip chips[],
                  const char *label, const struct gpio_ops *gpio, bool is_dry, struct error *error);

/* Writes on change only. */
bool pin_out_put(struct pin_out *out, bool is_on, struct error *error);

/* Off, written whatever was written before. */
bool pin_out_rest(struct pin_out *out, struct error *error);

/* Off, as far as it goes inside a signal handler. */
void pin_out_crash_rest(const struct pin_out *out);

void pin_out_close(struct pin_out *out);

#endif

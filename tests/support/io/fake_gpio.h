/* fake_gpio.h: two GPIO chips for tests, behind io/kernel/gpio.h: lines set, and failures made, by
 * the test. Levels are those of the wire. */
#ifndef SUPPORT_FAKE_GPIO_H
#define SUPPORT_FAKE_GPIO_H

#include "io/kernel/gpio.h"

enum { FAKE_GPIO_CHIPS = 2, FAKE_GPIO_LINES = 32, FAKE_GPIO_EDGES = 64 };

struct fake_gpio_line {
    bool level;
    bool is_input, is_output;
    enum wired_pull pull;
    bool has_edges;
    int fd, test_fd; /* readable while edges wait */
    unsigned edges;
    struct gpio_edge edge[FAKE_GPIO_EDGES];
};

struct fake_gpio {
    struct fake_gpio_line line[FAKE_GPIO_CHIPS][FAKE_GPIO_LINES];
    bool cannot_read[FAKE_GPIO_CHIPS];
    bool cannot_write[FAKE_GPIO_CHIPS];
    bool cannot_take_edges[FAKE_GPIO_CHIPS];
    unsigned reads[FAKE_GPIO_CHIPS];
    unsigned open; /* handles */
    unsigned writes;
    uint64_t now_us;
    char log[4096];                                          /* of writes: "0:5=1 " */
    void (*wrote)(void *context, unsigned line, bool level); /* after each; NULL: nothing */
    void *context;
};

extern struct fake_gpio fake_gpio;
/* Chips are called "chip0" and "chip1". */
extern const struct gpio_ops fake_gpio_ops;

void fake_gpio_start(void);
/* Sets a line; an input with edges has one, if the level changes. */
void fake_gpio_set(unsigned chip, unsigned line, bool level);
bool fake_gpio_level(unsigned chip, unsigned line);

#endif

#include "support/io/wired_stage.h"

#include "io/wired/wired.h"
#include "support/check.h"
#include "support/io/fake_gpio.h"

#include <event2/event.h>
#include <stdio.h>

static void count_change(void *context) {
    ((struct wired_stage *)context)->changes++;
}

struct wired_pin pin_at(unsigned chip, unsigned offset) {
    return (struct wired_pin){.is_used = true, .chip = chip, .offset = offset};
}

struct wired_pin low_pin_at(unsigned chip, unsigned offset) {
    struct wired_pin pin = pin_at(chip, offset);
    pin.is_active_low = true;
    pin.pull = WIRED_PULL_UP;
    return pin;
}

void wired_stage_add_current(struct wired_stage *stage, const struct tree *tree) {
    tree_put(tree, "curr1_input", "1200\n");
    stage->setup.current = (struct wired_sensor){.kind = WIRED_SENSOR_HWMON,
                                                 .channel = "curr1",
                                                 .at_one = 1,
                                                 .least = -1,
                                                 .most = 20,
                                                 .frozen_us = 1000000,
                                                 .poll_us = 10000};
    snprintf(stage->setup.current.device, sizeof stage->setup.current.device, "%s", tree->root);
}

void wired_stage_prepare(struct wired_stage *stage) {
    *stage = (struct wired_stage){
        .setup = {.chips = 2,
                  .chip = {{"header", "chip0", 0}, {"expander", "chip1", POLL_US}},
                  .inputs = 4,
                  .input = {{.line = SEATED, .pin = low_pin_at(0, PIN_SEATED)},
                            {.line = LOCKED,
                             .pin = pin_at(0, PIN_LOCKED),
                             .second = low_pin_at(0, PIN_LOCKED_TOO),
                             .differ_us = DIFFER_US},
                            {.line = OPEN, .pin = pin_at(0, PIN_OPEN)},
                            {.line = STOP_CIRCUIT, .pin = pin_at(1, PIN_STOP_CIRCUIT)}},
                  .outputs = 5,
                  .output = {{.line = lines_signal(0, 0), .pin = low_pin_at(0, PIN_SIGNAL)},
                             {.line = LINE_LOCK,
                              .when = LINE_WHEN_DRIVEN,
                              .pin = pin_at(0, PIN_LOCK_DRIVE)},
                             {.line = LINE_LOCK,
                              .when = LINE_WHEN_WITHDRAWN,
                              .pin = pin_at(0, PIN_LOCK_WITHDRAW)},
                             {.line = LINE_BRAKE, .pin = pin_at(0, PIN_BRAKE)},
                             {.line = lines_span_power(0), .pin = pin_at(1, PIN_POWER)}},
                  .motor = {.kind = WIRED_MOTOR_RELAYS,
                            .pin = {pin_at(0, PIN_RAISE), pin_at(0, PIN_LOWER)},
                            .enable = pin_at(0, PIN_ENABLE),
                            .dead_us = DEAD_US},
                  .heartbeat = {pin_at(0, PIN_BEAT), HALF_US}},
        .base = event_base_new(),
    };
    assert_int_equal(event_base_priority_init(stage->base, 2), 0);
    stage->host =
        (struct port_host){.base = stage->base, .changed = count_change, .context = stage};
    stage->own[0] = (struct port_own){"wired", &stage->setup};
    stage->own[1] = (struct port_own){WIRED_GPIO, &fake_gpio_ops};
    stage->settings = (struct port_settings){.own = stage->own};
    fake_gpio_start();
    fake_gpio.line[0][PIN_SEATED].level = true;
    fake_gpio.line[0][PIN_LOCKED_TOO].level = true;
}

void wired_stage_open(struct wired_stage *stage) {
    stage->port = wired_ops.open(&stage->settings, &stage->host, &stage->error);
    assert_string_equal(stage->error.what, "");
    assert_non_null(stage->port);
}

void wired_stage_end(struct wired_stage *stage) {
    if (stage->port != NULL) {
        wired_ops.safe(stage->port);
        wired_ops.close(stage->port);
    }
    event_base_free(stage->base);
    assert_int_equal(fake_gpio.open, 0);
}

void wired_stage_sense(struct wired_stage *stage, uint64_t now_us) {
    wired_ops.sense(stage->port, now_us, &stage->inputs);
}

void wired_stage_act(struct wired_stage *stage, uint64_t now_us) {
    wired_ops.act(stage->port, now_us, &stage->outputs);
}

void wired_stage_cycle(struct wired_stage *stage, uint64_t now_us) {
    wired_stage_sense(stage, now_us);
    wired_stage_act(stage, now_us);
}

void wired_stage_turn(struct wired_stage *stage) {
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
}

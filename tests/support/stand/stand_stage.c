#include "support/stand/stand_stage.h"

#include "base/who.h"
#include "support/check.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { STEP_US = 10000, SETTLE_US = 40000, SECOND_LINE = 8 };

/* ---- the host */

static uint64_t now_us(void *context) {
    const struct stand_stage *stage = context;
    struct timespec now;
    if (!stage->has_real_time) {
        return stage->puppet.now_us;
    }
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static const char *name(void *context, unsigned bridge) {
    (void)context;
    assert_int_equal(bridge, 0);
    return "Kettle Narrows";
}

static struct bridge_view *view_of(struct stand_stage *stage) {
    static struct bridge_view view;
    view = (struct bridge_view){stage->puppet.inputs, stage->puppet.state, stage->puppet.outputs};
    return &view;
}

static const struct bridge_view *view(void *context, unsigned bridge) {
    (void)bridge;
    return view_of(context);
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    struct stand_stage *stage = context;
    (void)bridge;
    assert_int_equal(who, WHO_STAND);
    stage->asked = *request;
    stage->asks++;
    enum bridge_answer answer =
        puppet_ask_throttle(&stage->puppet, request->kind, request->share, request->is_voltage, 0);
    stand_notify(stage->stand, view_of(stage));
    return answer;
}

static int32_t barred_by(void *context, unsigned bridge, const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct stand_stage *)context)->barred_by;
}

static void refused(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why) {
    struct stand_stage *stage = context;
    (void)bridge;
    (void)request;
    stage->refusals++;
    snprintf(stage->why, sizeof stage->why, "%s", why);
}

static void bars_changed(void *context, unsigned bridge) {
    (void)bridge;
    ((struct stand_stage *)context)->bars++;
}

static void turn(void *context) {
    ((struct stand_stage *)context)->turns++;
}

/* ---- the stand */

static void add_contact(struct stand_setup *setup, enum stand_control_kind kind,
                        uint32_t stuck_us) {
    unsigned i = setup->controls++;
    setup->control[i] = (struct stand_control){
        .kind = kind, .input = i, .debounce_us = 20000, .stuck_us = stuck_us};
    setup->terminals.input[i] = (struct wired_input){
        .pin = {.is_used = true, .offset = i, .is_active_low = true, .pull = WIRED_PULL_UP},
        .differ_us = 300000};
    setup->terminals.inputs++;
}

static void add_key(struct stand_setup *setup, enum stand_control_kind kind, unsigned key) {
    setup->control[setup->controls++] =
        (struct stand_control){.kind = kind, .is_key = true, .key = key, .stuck_us = 30000000};
}

static void add_lamps(struct stand_setup *setup) {
    setup->rows = 1;
    setup->row[0] = (struct stand_row){.name = "row", .places = 8, .hertz = 1000000};
    snprintf(setup->row[0].device, sizeof setup->row[0].device, "spi0");
    for (unsigned i = 0; i < STAGE_LAMPS; i++) {
        setup->lamp[2 * i] = (struct stand_lamp){.kind = (enum stand_lamp_kind)i,
                                                 .pin = {.is_used = true, .chip = 1, .offset = i}};
        setup->lamp[2 * i + 1] = (struct stand_lamp){.kind = (enum stand_lamp_kind)i, .place = i};
    }
    setup->lamps = 2 * STAGE_LAMPS;
}

static void set_up(struct stand_setup *setup) {
    *setup = (struct stand_setup){
        .is_there = true,
        .terminals = {.chips = 2, .chip = {{"desk", "chip0", 0}, {"lamps", "chip1", 0}}},
        .devices = 1,
        .device = {{.name = "box", .device = "box0"}}};
    add_contact(setup, STAND_RAISE, 30000000);
    add_contact(setup, STAND_LOWER, 30000000);
    add_contact(setup, STAND_STOP, 30000000);
    add_contact(setup, STAND_EMERGENCY_STOP, 0);
    add_contact(setup, STAND_KEY_SWITCH, 0);
    add_contact(setup, STAND_LOCAL, 0);
    add_contact(setup, STAND_LAMP_TEST, 30000000);
    add_key(setup, STAND_RAISE, KEY_R);
    add_key(setup, STAND_STOP, KEY_S);
    add_key(setup, STAND_HORN, KEY_H);
    setup->terminals.input[STAGE_RAISE].second =
        (struct wired_pin){.is_used = true, .offset = SECOND_LINE, .pull = WIRED_PULL_UP};
    add_lamps(setup);
}

/* A contact that is closed pulls its line low. */
static void set_contact(unsigned control, bool is_closed) {
    fake_gpio_set(0, control, !is_closed);
    if (control == STAGE_RAISE) {
        fake_gpio_set(0, SECOND_LINE, is_closed);
    }
}

void stand_stage_prepare(struct stand_stage *stage) {
    memset(stage, 0, sizeof *stage);
    stage->pace = 1;
    stage->base = event_base_new();
    assert_int_equal(event_base_priority_init(stage->base, 2), 0);
    stage->core = puppet_setup();
    puppet_line(&stage->puppet, &stage->core);
    set_up(&stage->setup);
    fake_gpio_start();
    fake_evdev_start();
    for (unsigned i = 0; i < STAGE_CONTACTS; i++) {
        set_contact(i, i == STAGE_MUSHROOM || i == STAGE_KEY);
    }
}

static void settle(struct stand_stage *stage) {
    stand_look(stage->stand);
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
}

void stand_stage_open(struct stand_stage *stage) {
    const struct stand_host host = {.context = stage,
                                    .pace = stage->pace,
                                    .now_us = now_us,
                                    .name = name,
                                    .ask = ask,
                                    .view = view,
                                    .barred_by = barred_by,
                                    .refused = refused,
                                    .bars_changed = bars_changed,
                                    .turn = turn};
    const struct stand_kernel kernel = {&fake_gpio_ops, &fake_evdev_ops, &fake_spi_ops};
    stage->stand =
        stand_new(stage->base, 0, &stage->setup, &stage->core, &host, &kernel, &stage->error);
    if (stage->stand != NULL && !stage->has_real_time) {
        settle(stage);
        stand_stage_run(stage, 2 * SETTLE_US);
    }
}

void stand_stage_end(struct stand_stage *stage) {
    stand_free(stage->stand);
    event_base_free(stage->base);
    assert_int_equal(fake_gpio.open, 0);
    assert_false(fake_spi.is_open || fake_evdev.device[0].is_open);
}

void stand_stage_run(struct stand_stage *stage, uint64_t time_us) {
    for (uint64_t end_us = stage->puppet.now_us + time_us; stage->puppet.now_us < end_us;) {
        puppet_run_for(&stage->puppet, STEP_US);
        stand_notify(stage->stand, view_of(stage));
        settle(stage);
    }
}

void stand_stage_run_to(struct stand_stage *stage, enum bridge_phase phase) {
    for (unsigned i = 0; i < 60000 && stage->puppet.state.phase != phase; i++) {
        stand_stage_run(stage, STEP_US);
    }
    assert_int_equal(stage->puppet.state.phase, phase);
}

void stand_stage_put(struct stand_stage *stage, enum stand_stage_control control, bool is_pressed) {
    set_contact(control, is_pressed != (control == STAGE_MUSHROOM));
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
    stand_stage_run(stage, SETTLE_US);
}

void stand_stage_key(struct stand_stage *stage, unsigned key, bool is_pressed) {
    fake_evdev_key(0, key, is_pressed ? 1 : 0);
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
}

static int count_timer(const struct event_base *base, const struct event *event, void *context) {
    (void)base;
    *(unsigned *)context += event_pending(event, EV_TIMEOUT, NULL) != 0;
    return 0;
}

unsigned stand_stage_timers(const struct stand_stage *stage) {
    unsigned timers = 0;
    event_base_foreach_event(stage->base, count_timer, &timers);
    return timers;
}

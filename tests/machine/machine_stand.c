/* A stand at real devices of a real kernel, run within the machine of tools/test-machine: a button
 * at gpio-sim, one at a polled expander, a box and a joystick made with uinput, a lamp at the
 * expander. The bridge behind it only notes what it is asked. Prints a line for each check; exits 0
 * if all are good. */
#include "base/who.h"
#include "machine/chips.h"
#include "stand/stand.h"

#include <event2/event.h>
#include <libevdev/libevdev-uinput.h>
#include <libevdev/libevdev.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static const char box_name[] = "Kettle Narrows box";

/* ---- the box */

static struct libevdev_uinput *box;

static void plug_in(void) {
    const struct input_absinfo stick = {.minimum = -100, .maximum = 100};
    struct libevdev *made = libevdev_new();
    libevdev_set_name(made, box_name);
    libevdev_enable_event_type(made, EV_KEY);
    libevdev_enable_event_code(made, EV_KEY, KEY_R, NULL);
    libevdev_enable_event_code(made, EV_KEY, KEY_H, NULL);
    libevdev_enable_event_type(made, EV_ABS);
    libevdev_enable_event_code(made, EV_ABS, ABS_Y, &stick);
    int result = libevdev_uinput_create_from_device(made, LIBEVDEV_UINPUT_OPEN_MANAGED, &box);
    libevdev_free(made);
    check(result == 0, "a box made with uinput");
}

static void unplug(void) {
    libevdev_uinput_destroy(box);
    box = NULL;
}

static void work(unsigned type, unsigned code, int value) {
    libevdev_uinput_write_event(box, type, code, value);
    libevdev_uinput_write_event(box, EV_SYN, SYN_REPORT, 0);
}

/* ---- the bridge */

static struct bridge_view view;
static struct bridge_request asked;
static unsigned asks;

static uint64_t now_us(void *context) {
    struct timespec now;
    (void)context;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static const char *name(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
    return "Kettle Narrows";
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    (void)context;
    (void)bridge;
    asked = *request;
    asks++;
    return who == WHO_STAND ? ANSWER_GRANTED : ANSWER_NO_SUCH;
}

static const struct bridge_view *bridge_view(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
    return &view;
}

static int32_t barred_by(void *context, unsigned bridge, const struct bridge_request *request) {
    (void)context;
    (void)bridge;
    (void)request;
    return 0;
}

static void refused(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why) {
    (void)context;
    (void)bridge;
    (void)request;
    printf("       refused: %s\n", why);
}

static void bars_changed(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
}

static void turn(void *context) {
    (void)context;
}

/* ---- the stand */

enum { BUTTON = 3, POLLED = 1, LAMP = 9 };

static struct event_base *base;
static struct sim_bank bank;
static struct bridge_setup core;
static struct stand *stand;

static struct stand_setup setup = {
    .is_there = true,
    .terminals = {.chips = 2,
                  .chip = {{"edges", "edges", 0}, {"expander", "0-0020", 20000}},
                  .inputs = 2,
                  .input = {{.pin = {.is_used = true, .offset = BUTTON, .is_active_low = true}},
                            {.pin = {.is_used = true, .chip = 1, .offset = POLLED}}}},
    .devices = 1,
    .device = {{.name = "box"}},
    .controls = 4,
    .control = {{.kind = STAND_STOP, .input = 0, .debounce_us = 20000, .stuck_us = 30000000},
                {.kind = STAND_LOWER, .input = 1, .debounce_us = 20000, .stuck_us = 30000000},
                {.kind = STAND_RAISE, .is_key = true, .key = KEY_R, .stuck_us = 30000000},
                {.kind = STAND_HORN, .is_key = true, .key = KEY_H, .stuck_us = 30000000}},
    .throttle = {.kind = STAND_THROTTLE_JOYSTICK, .axis = ABS_Y, .dead_share = 0.1},
    .lamps = 1,
    .lamp = {{.kind = STAND_LAMP_FAULT, .pin = {.is_used = true, .chip = 1, .offset = LAMP}}}};

static bool open_stand(void) {
    const struct stand_host host = {.pace = 1,
                                    .now_us = now_us,
                                    .name = name,
                                    .ask = ask,
                                    .view = bridge_view,
                                    .barred_by = barred_by,
                                    .refused = refused,
                                    .bars_changed = bars_changed,
                                    .turn = turn};
    struct error error = {.what = ""};
    snprintf(setup.device[0].device, sizeof setup.device[0].device, "%s", box_name);
    stand = stand_new(base, 0, &setup, &core, &host, &stand_kernel, &error);
    check_opened(stand != NULL, &error, "a stand at all of these");
    return stand != NULL;
}

/* Goes round until it was asked for; the limit only ends a test that hangs. */
static bool comes(enum bridge_request_kind kind) {
    for (uint64_t begun_us = now_us(NULL); now_us(NULL) - begun_us < 60000000;) {
        if (asks > 0 && asked.kind == kind) {
            return true;
        }
        event_base_loop(base, EVLOOP_NONBLOCK);
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    return false;
}

static bool lamp_becomes(bool is_lit) {
    for (uint64_t begun_us = now_us(NULL); now_us(NULL) - begun_us < 60000000;) {
        if (((get_byte(EXPANDER, 3) >> (LAMP - 8) & 1) != 0) == is_lit) {
            return true;
        }
        event_base_loop(base, EVLOOP_NONBLOCK);
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    return false;
}

/* Until a contact that is released now is believed so. */
static void let_settle(void) {
    for (uint64_t begun_us = now_us(NULL); now_us(NULL) - begun_us < 200000;) {
        event_base_loop(base, EVLOOP_NONBLOCK);
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    asks = 0;
}

static void check_contacts(void) {
    pull(&bank, BUTTON, false);
    check(comes(REQUEST_STOP), "a button with edges: stop");
    pull(&bank, BUTTON, true);
    let_settle();
    put_byte(EXPANDER, 0, 1 << POLLED);
    check(comes(REQUEST_LOWER), "a button at a polled expander: lower");
    put_byte(EXPANDER, 0, 0);
    let_settle();
}

static void check_box(void) {
    struct error error = {.what = ""};
    check(evdev_kernel.open(box_name, false, &error) == NULL &&
              strstr(error.what, "in use") != NULL,
          "the box is kept from others");
    work(EV_KEY, KEY_R, 1);
    check(comes(REQUEST_RAISE), "a key: raise");
    work(EV_KEY, KEY_R, 0);
    let_settle();
    work(EV_KEY, KEY_H, 1);
    check(comes(REQUEST_HORN_ON), "a key: the horn");
    unplug();
    check(comes(REQUEST_HORN_OFF), "unplugged while it is pressed: silent");
    let_settle();
    plug_in();
    let_settle();
    work(EV_KEY, KEY_R, 1);
    check(comes(REQUEST_RAISE), "plugged in again: it works by itself");
    work(EV_KEY, KEY_R, 0);
    let_settle();
}

static void check_throttle(void) {
    work(EV_ABS, ABS_Y, 50);
    check(comes(REQUEST_THROTTLE_UP) && asked.share == 0.5, "a joystick: half speed up");
    asks = 0;
    check(comes(REQUEST_THROTTLE_HOLD) && asked.share == 0.5, "held on by itself");
    unplug();
    for (unsigned i = 0; i < 100 && asked.share > 0; i++) {
        asks = 0;
        comes(REQUEST_THROTTLE_HOLD);
    }
    check(asked.kind == REQUEST_THROTTLE_HOLD && asked.share == 0, "unplugged: let go");
}

static void check_lamp(void) {
    check(lamp_becomes(false), "a lamp is dark");
    view.state.phase = PHASE_FAULT;
    stand_notify(stand, &view);
    check(lamp_becomes(true) && lamp_becomes(false) && lamp_becomes(true), "and flashes");
    stand_free(stand);
    check((get_byte(EXPANDER, 3) >> (LAMP - 8) & 1) == 0, "dark at the end");
}

int main(void) {
    setvbuf(stdout, NULL, _IOLBF, 0);
    check(find_bank(&bank, 0), "gpio-sim is there");
    base = event_base_new();
    event_base_priority_init(base, 2);
    pull(&bank, BUTTON, true);
    put_byte(EXPANDER, 0, 0);
    plug_in();
    view.state.phase = PHASE_LINED;
    if (box != NULL && open_stand()) {
        stand_look(stand);
        let_settle();
        check_contacts();
        check_box();
        check_throttle();
        check_lamp();
    }
    printf("machine stand: %u failed\n", failed);
    return failed == 0 ? 0 : 1;
}

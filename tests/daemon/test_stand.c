/* The example's stand, from its configuration to the bridge's own cycle and the simulated world: an
 * opening by lever, and what goes wrong on the way. Its devices are fakes; real ones are tried by
 * tools/test-machine. Time runs fast, and nothing is asserted of it. */
#include "bridge/cycle.h"
#include "config/config.h"
#include "io/drivers.h"
#include "process/clock.h"
#include "process/loop.h"
#include "stand/stand.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/io/fake_evdev.h"
#include "support/io/fake_gpio.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <stdlib.h>
#include <string.h>
#include <sysexits.h>
#include <time.h>

/* Lines of the example: contacts, then lamps on the second chip. */
enum { RAISE = 5, RAISE_TOO, STOP = 26, MUSHROOM = 21, ACKNOWLEDGE = 20, KEY = 25, LOCAL = 24 };
enum { LOWER = 13, LOWER_TOO = 19, LAMP_LINED = 0, LAMP_OPEN = 2, LAMP_KEY = 4 };

enum { PACE = 100 };

struct stage {
    struct config config;
    struct config_report report;
    struct loop *loop;
    struct layout_clock clock;
    struct cycle *cycle;
    struct stand *stand;
    unsigned asks, refusals;
    char why[128];
};

static struct stage stage;

/* ---- the host, as main.c fills it */

static uint64_t now_us(void *context) {
    struct timespec now;
    (void)context;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static const char *name(void *context, unsigned bridge) {
    (void)context;
    return stage.config.net.bridge[bridge].name;
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    (void)context;
    (void)who;
    (void)bridge;
    stage.asks++;
    return cycle_ask(stage.cycle, request);
}

static const struct bridge_view *view(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
    return cycle_view(stage.cycle);
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
    stage.refusals++;
    snprintf(stage.why, sizeof stage.why, "%s", why);
}

static void bars_changed(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
}

static void turn(void *context) {
    (void)context;
    loop_bridge_turn(stage.loop);
}

static void on_step(void *context, unsigned bridge, const struct bridge_view *before,
                    const struct bridge_view *after, const struct cycle_step *step) {
    (void)context;
    (void)bridge;
    (void)before;
    (void)step;
    stand_notify(stage.stand, after);
}

static void on_news(void *context, unsigned bridge, const char *words) {
    (void)context;
    (void)bridge;
    (void)words;
}

/* ---- the stage */

static void read_example(void) {
    char *text = config_text_of_file(SOURCE_DIR "/config/tender-stand.json");
    cJSON *tree = cJSON_Parse(text);
    free(text);
    config_text_patch(tree, "/bridges/0/stand/chips/0/device", "\"chip0\"");
    config_text_patch(tree, "/bridges/0/stand/chips/1/device", "\"chip1\"");
    config_text_patch(tree, "/bridges/0/stand/devices/0/device", "\"box0\"");
    config_text_patch(tree, "/bridges/0/stand/rows/0/device", "\"spi0\"");
    config_text_patch(tree, "/bridges/0/simulation/trains", NULL);
    text = cJSON_PrintUnformatted(tree);
    assert_true(config_read_text(text, strlen(text), &stage.config, &stage.report));
    cJSON_free(text);
    cJSON_Delete(tree);
}

static void open_cycle(void) {
    static struct port_own own[2];
    own[0] = (struct port_own){"simulated", &stage.config.bridge[0].simulation};
    const struct cycle_setup setup = {
        .port = drivers_find("simulated"),
        .settings = {.setup = &stage.config.net.bridge[0].setup, .own = own, .find = drivers_find}};
    const struct cycle_listener listener = {.stepped = on_step, .news = on_news};
    struct error error = {.what = ""};
    stage.cycle = cycle_new(stage.loop, &stage.clock, &setup, &listener, &error);
    assert_string_equal(error.what, "");
}

static void turn_until(bool (*is_so)(void)) {
    while (!is_so()) {
        event_base_loop(loop_base(stage.loop), EVLOOP_ONCE);
    }
}

static enum bridge_phase phase(void) {
    return cycle_view(stage.cycle)->state.phase;
}

#define PHASE_IS(word, wanted)                                                                     \
    static bool word(void) {                                                                       \
        return phase() == wanted;                                                                  \
    }
PHASE_IS(is_lined, PHASE_LINED)
PHASE_IS(is_raising, PHASE_RAISING)
PHASE_IS(is_open, PHASE_OPEN)
PHASE_IS(is_held, PHASE_HELD)
PHASE_IS(is_at_fault, PHASE_FAULT)

static bool shows_lined(void) {
    return fake_gpio_level(1, LAMP_LINED);
}

/* The key is believed, and so are all contacts: they were first read together. */
static bool shows_key(void) {
    return fake_gpio_level(1, LAMP_KEY);
}

static bool shows_open(void) {
    return fake_gpio_level(1, LAMP_OPEN) && !fake_gpio_level(1, LAMP_LINED);
}

static bool was_refused(void) {
    return stage.refusals > 0;
}

/* A press is believed once it has held: waits for what it asks. */
static unsigned asks_before;

static bool has_asked(void) {
    return stage.asks > asks_before || stage.refusals > 0;
}

static void press(unsigned line, unsigned second) {
    asks_before = stage.asks;
    fake_gpio_set(0, line, false);
    if (second != line) {
        fake_gpio_set(0, second, true);
    }
    turn_until(has_asked);
    fake_gpio_set(0, line, true);
    if (second != line) {
        fake_gpio_set(0, second, false);
    }
    stand_look(stage.stand);
}

static int start(void **state) {
    (void)state;
    memset(&stage, 0, sizeof stage);
    fake_gpio_start();
    fake_evdev_start();
    for (unsigned i = 0; i < FAKE_GPIO_LINES; i++) {
        bool is_low = i == RAISE_TOO || i == LOWER_TOO || i == MUSHROOM || i == KEY;
        fake_gpio_set(0, i, !is_low);
    }
    read_example();
    clock_start(&stage.clock, PACE);
    stage.loop = loop_new();
    open_cycle();
    const struct stand_host host = {.pace = PACE,
                                    .now_us = now_us,
                                    .name = name,
                                    .ask = ask,
                                    .view = view,
                                    .barred_by = barred_by,
                                    .refused = refused,
                                    .bars_changed = bars_changed,
                                    .turn = turn};
    const struct stand_kernel kernel = {&fake_gpio_ops, &fake_evdev_ops, &fake_spi_ops};
    struct error error = {.what = ""};
    stage.stand = stand_new(loop_base(stage.loop), 0, &stage.config.bridge[0].stand,
                            &stage.config.net.bridge[0].setup, &host, &kernel, &error);
    assert_string_equal(error.what, "");
    const struct bridge_request none = {.kind = REQUEST_NONE};
    cycle_start(stage.cycle, &none);
    stand_look(stage.stand);
    turn_until(is_lined);
    turn_until(shows_lined);
    turn_until(shows_key);
    assert_int_equal(stage.asks, 0);
    return 0;
}

static int end(void **state) {
    (void)state;
    cycle_safe(stage.cycle);
    stand_free(stage.stand);
    cycle_free(stage.cycle);
    loop_free(stage.loop);
    return 0;
}

/* ---- */

static void a_whole_opening_by_lever(void **state) {
    (void)state;
    press(RAISE, RAISE_TOO);
    turn_until(is_open);
    turn_until(shows_open);
    press(LOWER, LOWER_TOO);
    turn_until(is_lined);
    turn_until(shows_lined);
    assert_int_equal(stage.refusals, 0);
    assert_int_equal(cycle_view(stage.cycle)->state.openings, 1);
}

static void a_stop_at_the_handset_holds_the_span(void **state) {
    (void)state;
    press(RAISE, RAISE_TOO);
    turn_until(is_raising);
    fake_evdev_key(0, BTN_TRIGGER, 1);
    turn_until(is_held);
    assert_true(cycle_view(stage.cycle)->outputs.lift_effort == 0);
}

static void a_handset_unplugged_while_the_span_moves_leaves_the_levers(void **state) {
    (void)state;
    press(RAISE, RAISE_TOO);
    turn_until(is_raising);
    fake_evdev_unplug(0);
    press(STOP, STOP);
    turn_until(is_held);
    assert_false(fake_evdev.device[0].is_open);
    press(RAISE, RAISE_TOO);
    turn_until(is_open);
}

static void a_broken_wire_of_the_mushroom_stops_and_keeps_the_acknowledgment_away(void **state) {
    (void)state;
    press(RAISE, RAISE_TOO);
    turn_until(is_raising);
    fake_gpio_set(0, MUSHROOM, true);
    turn_until(is_at_fault);
    press(ACKNOWLEDGE, ACKNOWLEDGE);
    assert_int_equal(phase(), PHASE_FAULT);
    turn_until(was_refused);
    assert_non_null(strstr(stage.why, "emergency stop of its stand"));
    stage.refusals = 0;
    fake_gpio_set(0, MUSHROOM, false);
    while (stand_refuses(stage.stand, &(struct bridge_request){.kind = REQUEST_RAISE}) != NULL) {
        event_base_loop(loop_base(stage.loop), EVLOOP_ONCE);
    }
    assert_int_equal(phase(), PHASE_FAULT);
    press(ACKNOWLEDGE, ACKNOWLEDGE);
    turn_until(is_held);
}

/* ---- the program itself */

static void a_stand_whose_chip_is_not_there_is_told_at_the_start(void **state) {
    (void)state;
    static const char *const arguments[] = {"--config", SOURCE_DIR "/config/tender-stand.json",
                                            "--port", "0", NULL};
    char err[4096];
    assert_int_equal(daemon_run_once(arguments, NULL, err, sizeof err), EX_IOERR);
    assert_non_null(strstr(err, "/dev/gpiochip0"));
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, start, end)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(a_whole_opening_by_lever),
        ON_STAGE(a_stop_at_the_handset_holds_the_span),
        ON_STAGE(a_handset_unplugged_while_the_span_moves_leaves_the_levers),
        ON_STAGE(a_broken_wire_of_the_mushroom_stops_and_keeps_the_acknowledgment_away),
        cmocka_unit_test(a_stand_whose_chip_is_not_there_is_told_at_the_start),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

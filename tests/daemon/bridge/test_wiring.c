/* The table that a person tapes to the control box. */
#include "bridge/wiring.h"
#include "bridge/wiring_drawing.h"
#include "support/check.h"

#include <linux/input-event-codes.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"main", {"west", "east"}}};

static char *print(const struct wired_setup *setup) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    wiring_print(out, "Kettle Narrows", setup, tracks);
    fclose(out);
    return text;
}

/* Whether one line holds all these words. */
static bool has_row(const char *text, const char *const words[4]) {
    for (const char *line = text; line != NULL; line = strchr(line + 1, '\n')) {
        char row[256];
        snprintf(row, sizeof row, "%.*s", (int)strcspn(line + 1, "\n"), line + 1);
        unsigned found = 0;
        for (unsigned i = 0; i < 4; i++) {
            found += strstr(row, words[i]) != NULL ? 1 : 0;
        }
        if (found == 4) {
            return true;
        }
    }
    return false;
}

static void assert_row(const char *text, const char *const words[4]) {
    if (!has_row(text, words)) {
        fail_msg("no row \"%s\" in:\n%s", words[0], text);
    }
}

/* Asserts that the table of this setup has these rows, one after the other in the list. */
static void assert_rows(const struct wired_setup *setup, const char *const rows[][4],
                        size_t count) {
    char *text = print(setup);
    for (size_t i = 0; i < count; i++) {
        assert_row(text, rows[i]);
    }
    free(text);
}

static void each_terminal_has_its_signal_polarity_and_safe_state(void **state) {
    (void)state;
    static const struct wired_setup setup = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .inputs = 3,
        .input = {{.line = 0,
                   .pin = {true, 0, 5, true, WIRED_PULL_UP},
                   .second = {true, 0, 6, false, WIRED_PULL_UP}},
                  {.line = 1, .pin = {true, 0, 10, true, WIRED_PULL_AS_IS}},
                  {.line = 2, .pin = {true, 0, 11, false, WIRED_PULL_NONE}}},
        .outputs = 2,
        .output = {{.line = LINES_OWN_OUTPUTS, .pin = {true, 0, 7, false, WIRED_PULL_AS_IS}},
                   {.line = LINE_LOCK,
                    .when = LINE_WHEN_WITHDRAWN,
                    .pin = {true, 0, 8, true, WIRED_PULL_AS_IS}}},
        .motor = {.kind = WIRED_MOTOR_PULSE,
                  .pwm = {{.chip = "/sys/class/pwm/pwmchip2", .channel = 3, .period_ns = 20000000}},
                  .neutral_ns = 1500000},
        .heartbeat = {{true, 0, 9, false, WIRED_PULL_AS_IS}, 1},
    };
    static const char *const rows[][4] = {
        {"header line 5 ", "seated ", "low, pulled up", "high, as with a broken wire"},
        {"header line 6 ", "seated, second", "high, pulled up", "low; the first contact shows"},
        {"header line 10 ", "nearly-seated ", "low", "high: needs a resistor up, or the chip's"},
        {"header line 11 ", "open ", "high, no pull", "low: needs a resistor down, or the chip's"},
        {"header line 7 ", "main.west.signal ", "high", "low: needs a resistor down"},
        {"header line 8 ", "lock, withdraw", "low", "high: needs a resistor up"},
        {"pwmchip2 channel 3", "motor, pulses", "high, 50 Hz", "neutral pulse, 1.5 ms"},
        {"header line 9 ", "heartbeat", "changing", "constant level"},
    };
    char *text = print(&setup);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_row(text, rows[i]);
    }
    assert_non_null(strstr(text, "not of a pin on the header"));
    assert_non_null(strstr(text, "must reach\nits safe state through its own resistor"));
    free(text);
}

static const struct wired_pwm one = {.chip = "/sys/class/pwm/pwmchip0", .period_ns = 50000};
static const struct wired_pwm other = {
    .chip = "/sys/class/pwm/pwmchip0", .channel = 1, .period_ns = 50000, .is_inversed = true};

static void each_kind_of_motor_has_its_rows(void **state) {
    (void)state;
    const struct wired_setup two_wire = {
        .motor = {.kind = WIRED_MOTOR_TWO_WIRE, .pwm = {one, other}}};
    static const char *const two_wire_rows[][4] = {
        {"pwmchip0 channel 0", "motor, pulses to raise", "high, 20000 Hz", "no pulses"},
        {"pwmchip0 channel 1", "motor, pulses to lower", "low, 20000 Hz", "no pulses"},
    };
    assert_rows(&two_wire, two_wire_rows, 2);
    static const struct wired_setup phase = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .motor = {.kind = WIRED_MOTOR_PHASE,
                  .pwm = {{.chip = "pwmchip9", .period_ns = 50000}},
                  .pin = {{true, 0, 20, false, WIRED_PULL_AS_IS}},
                  .enable = {true, 0, 21, false, WIRED_PULL_AS_IS}}};
    static const char *const phase_rows[][4] = {
        {"pwmchip9 channel 0", "motor, pulses ", "high, 20000 Hz", "no pulses"},
        {"header line 20 ", "motor, direction (on: raise)", "high", "low"},
        {"header line 21 ", "motor, enable", "high", "low: needs a resistor down"},
    };
    assert_rows(&phase, phase_rows, 3);
    static const struct wired_setup relays = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .motor = {.kind = WIRED_MOTOR_RELAYS,
                  .pin = {{true, 0, 20, true, WIRED_PULL_AS_IS},
                          {true, 0, 22, false, WIRED_PULL_AS_IS}}}};
    static const char *const relay_rows[][4] = {
        {"header line 20 ", "motor, raise", "low", "high: needs a resistor up"},
        {"header line 22 ", "motor, lower", "high", "low: needs a resistor down"},
    };
    assert_rows(&relays, relay_rows, 2);
    static const struct wired_setup serial = {
        .motor = {.kind = WIRED_MOTOR_SERIAL, .serial = {.device = "/dev/ttyACM0"}}};
    static const char *const serial_rows[][4] = {
        {"/dev/ttyACM0", "motor controller", "lines of text", "its own timeout"},
    };
    assert_rows(&serial, serial_rows, 1);
}

static void sensors_and_a_lock_servo_have_their_rows(void **state) {
    (void)state;
    const struct wired_setup setup = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .lock = {.pwm = other},
        .position = {.kind = WIRED_SENSOR_ENCODER,
                     .pin = {{true, 0, 30, false, WIRED_PULL_UP},
                             {true, 0, 31, false, WIRED_PULL_UP}}},
        .current = {.kind = WIRED_SENSOR_HWMON, .device = "supply", .channel = "curr1"}};
    static const char *const rows[][4] = {
        {"header line 30 ", "encoder, A", "in", "edges"},
        {"header line 31 ", "encoder, B", "in", "edges"},
        {"supply curr1", "current", "measured", "out of range, as with a broken wire"},
        {"pwmchip0 channel 1", "lock servo, pulses", "low, 20000 Hz", "no pulses"},
    };
    assert_rows(&setup, rows, 4);
}

/* ---- the drawing */

static char *draw(const char *bridge, const struct wired_setup *setup) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    wiring_drawing(out, bridge, setup, tracks);
    fclose(out);
    return text;
}

static unsigned count(const char *text, const char *words) {
    unsigned found = 0;
    for (const char *at = text; (at = strstr(at, words)) != NULL; at += strlen(words)) {
        found++;
    }
    return found;
}

static void a_stand_has_a_row_for_each_control_and_lamp(void **state) {
    (void)state;
    static const struct stand_setup setup = {
        .is_there = true,
        .terminals = {.chips = 1,
                      .chip = {{.name = "desk"}},
                      .inputs = 2,
                      .input = {{.pin = {true, 0, 5, true, WIRED_PULL_UP},
                                 .second = {true, 0, 6, false, WIRED_PULL_UP}},
                                {.pin = {true, 0, 7, true, WIRED_PULL_UP}}}},
        .devices = 1,
        .device = {{.name = "box"}},
        .controls = 4,
        .control = {{.kind = STAND_RAISE, .input = 0},
                    {.kind = STAND_EMERGENCY_STOP, .input = 1},
                    {.kind = STAND_HORN, .is_key = true, .key = KEY_H},
                    {.kind = STAND_STOP, .is_key = true, .key = 700}},
        .throttle = {.kind = STAND_THROTTLE_POTENTIOMETER, .iio = "adc", .channel = "voltage1"},
        .rows = 1,
        .row = {{.name = "diagram"}},
        .lamps = 3,
        .lamp = {{.kind = STAND_LAMP_FAULT, .pin = {true, 0, 9, true, WIRED_PULL_AS_IS}},
                 {.kind = STAND_LAMP_SPAN_SECTION, .place = 3},
                 {.kind = STAND_LAMP_SIGNAL, .end = 1, .place = 4}}};
    static const char *const rows[][4] = {
        {"desk line 5 ", "raise ", "low, pulled up", "high, as with a broken wire"},
        {"desk line 6 ", "raise, second contact", "high, pulled up",
         "the first contact shows a broken wire"},
        {"desk line 7 ", "emergency stop not pressed", "low", "high, as with a broken wire"},
        {"box KEY_H ", "horn ", "down", "up, as when unplugged"},
        {"box key 700 ", "stop ", "down", "up, as when unplugged"},
        {"adc voltage1 ", "hand throttle", "measured", "let go; out of range"},
        {"desk line 9 ", "lamp, fault ", "low", "dark"},
        {"diagram place 3 ", "lamp, main.span ", "lit", "dark"},
        {"diagram place 4 ", "lamp, main.east.signal ", "lit", "dark"},
    };
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    wiring_print_stand(out, "Kettle Narrows", &setup, tracks);
    fclose(out);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_row(text, rows[i]);
    }
    assert_non_null(strstr(text, "not an emergency stop"));
    free(text);
}

static void the_drawing_shows_each_terminal_and_the_motors_supply(void **state) {
    (void)state;
    static const struct wired_setup setup = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .inputs = 2,
        .input = {{.line = 0, .pin = {true, 0, 5, true, WIRED_PULL_UP}},
                  {.line = 2, .pin = {true, 0, 6, false, WIRED_PULL_DOWN}}},
        .outputs = 1,
        .output = {{.line = LINES_OWN_OUTPUTS, .pin = {true, 0, 7, false, WIRED_PULL_AS_IS}}},
        .motor = {.kind = WIRED_MOTOR_RELAYS,
                  .pin = {{true, 0, 8, false, WIRED_PULL_AS_IS},
                          {true, 0, 9, false, WIRED_PULL_AS_IS}}},
        .heartbeat = {{true, 0, 10, false, WIRED_PULL_AS_IS}, 1},
    };
    static const char *const words[] = {
        ">header line 5<",  ">header line 6<",  ">header line 7<",  ">header line 8<",
        ">header line 9<",  ">header line 10<", "main.west.signal", ">A &lt;b&gt;: wiring<",
        ">emergency stop<", ">watchdog relay<", ">fuse, or limit<", "seated: low, pulled up",
        "heartbeat",        ">power stage<",
    };
    char *svg = draw("A <b>", &setup);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strstr(svg, words[i]) == NULL) {
            fail_msg("no \"%s\" in the drawing", words[i]);
        }
    }
    assert_int_equal(count(svg, ">+<"), 1); /* the contact that is pulled down */
    assert_int_equal(count(svg, "<svg "), 1);
    assert_int_equal(count(svg, "</svg>"), 1);
    free(svg);
}

static void a_bridge_without_a_motor_has_no_supply_to_draw(void **state) {
    (void)state;
    static const struct wired_setup setup = {
        .chips = 1,
        .chip = {{.name = "header"}},
        .inputs = 1,
        .input = {{.line = 0, .pin = {true, 0, 5, true, WIRED_PULL_UP}}},
    };
    char *svg = draw("Garden Gate", &setup);
    assert_null(strstr(svg, "emergency stop"));
    assert_non_null(strstr(svg, ">header line 5<"));
    free(svg);
}

static int run(const char *config, const char *file) {
    char command[1024];
    snprintf(command, sizeof command,
             BINARY_DIR "/drawtenderd --config " SOURCE_DIR
                        "/config/%s --wiring-drawing %s >/dev/null 2>&1",
             config, file);
    return WEXITSTATUS(system(command));
}

static void the_daemon_draws_into_a_new_file_alone(void **state) {
    (void)state;
    static const char file[] = BINARY_DIR "/wiring.svg";
    unlink(file);
    assert_int_equal(run("shed-controller.json", file), 0);
    assert_int_equal(access(file, F_OK), 0);
    assert_int_equal(run("shed-controller.json", file), 73); /* EX_CANTCREAT: it is there */
    unlink(file);
    assert_int_equal(run("two-switches.json", file), 78); /* EX_CONFIG: nothing is wired */
    assert_int_equal(access(file, F_OK), -1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_terminal_has_its_signal_polarity_and_safe_state),
        cmocka_unit_test(each_kind_of_motor_has_its_rows),
        cmocka_unit_test(sensors_and_a_lock_servo_have_their_rows),
        cmocka_unit_test(a_stand_has_a_row_for_each_control_and_lamp),
        cmocka_unit_test(the_drawing_shows_each_terminal_and_the_motors_supply),
        cmocka_unit_test(a_bridge_without_a_motor_has_no_supply_to_draw),
        cmocka_unit_test(the_daemon_draws_into_a_new_file_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The table that a person tapes to the control box. */
#include "bridge/wiring.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

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
        {"header line 6 ", "seated, second", "high, pulled up", "low; a broken wire is told"},
        {"header line 10 ", "nearly-seated ", "low", "high: needs a resistor up, or the chip's"},
        {"header line 11 ", "open ", "high, no pull", "low: needs a resistor down, or the chip's"},
        {"header line 7 ", "main.west.signal ", "high", "low: needs a resistor down"},
        {"header line 8 ", "lock, withdraw", "low", "high: needs a resistor up"},
        {"pwmchip2 channel 3", "motor, pulses", "high, 50 Hz", "neutral pulse, 1.5 ms"},
        {"header line 9 ", "heartbeat", "changing", "standing still"},
    };
    char *text = print(&setup);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (!has_row(text, rows[i])) {
            fail_msg("no row \"%s\" in:\n%s", rows[i][0], text);
        }
    }
    assert_non_null(strstr(text, "must come\nto its safe state by its own resistor"));
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_terminal_has_its_signal_polarity_and_safe_state),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

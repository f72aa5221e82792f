#include "bridge/wiring.h"

#include "bridge/wiring_rows.h"

static void put(FILE *out, const char *terminal, const char *signal, const char *way,
                const char *on, const char *safe) {
    fprintf(out, "%-34s  %-28s  %-3s  %-18s  %s\n", terminal, signal, way, on, safe);
}

static void put_row(const struct wiring_row *row, void *context) {
    bool is_input = row->part == WIRING_CONTACT || row->part == WIRING_MEASURED;
    put(context, row->terminal, row->signal, is_input ? "in" : "out", row->on, row->safe);
}

void wiring_print(FILE *out, const char *bridge, const struct wired_setup *setup,
                  const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    fprintf(out, "%s: wiring\n\n", bridge);
    put(out, "TERMINAL", "SIGNAL", "WAY", "ON, MADE, CLEAR", "SAFE STATE");
    wiring_rows(setup, tracks, put_row, out);
    fputs(
        "\nA line's number is that of the GPIO chip, not of a pin on the header: line 6 is GPIO 6; "
        "the\ncomputer's own pin map shows where it is.\n"
        "\nWhen the computer is off, starting or dead, nothing drives these terminals: each output "
        "must reach\nits safe state through its own resistor or a relay at rest. PWM outputs keep "
        "running when the program\ndies: a watchdog relay on the heartbeat must cut the motor's "
        "supply, and so must the hard-wired\nemergency stop.\n",
        out);
}

void wiring_print_stand(FILE *out, const char *bridge, const struct stand_setup *setup,
                        const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    fprintf(out, "%s: stand\n\n", bridge);
    put(out, "TERMINAL", "SIGNAL", "WAY", "PRESSED, ON, LIT", "RELEASED, SAFE");
    wiring_stand_rows(setup, tracks, put_row, out);
    fputs("\nThe stand is not an emergency stop: what it asks goes through the computer. Wire the "
          "emergency stop\nitself into the motor's supply; a second contact of the same button may "
          "be read here.\n",
          out);
}

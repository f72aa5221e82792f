/* wired_stage.h: a bridge at this computer's terminals (io/wired/wired.h), with GPIO chips of the
 * test's own (fake_gpio.h), and the loop that its edges are events of. Time is the test's. */
#ifndef SUPPORT_WIRED_STAGE_H
#define SUPPORT_WIRED_STAGE_H

#include "core/words/lines.h"
#include "io/port.h"
#include "io/wired/wired_setup.h"
#include "support/daemon/tree.h"

/* Lines of chip 0, whose edges are events; of chip 1, which is polled. Levels by lines.h. */
enum {
    PIN_SEATED = 1,
    PIN_LOCKED = 2,
    PIN_LOCKED_TOO = 3,
    PIN_OPEN = 4,
    PIN_A = 5,
    PIN_B = 6,
    PIN_SIGNAL = 10,
    PIN_LOCK_DRIVE = 11,
    PIN_LOCK_WITHDRAW = 12,
    PIN_BRAKE = 13,
    PIN_BEAT = 14,
    PIN_RAISE = 15,
    PIN_LOWER = 16,
    PIN_ENABLE = 17,
    PIN_STOP_CIRCUIT = 1, /* chip 1 */
    PIN_POWER = 2,        /* chip 1 */

    SEATED = 0,
    OPEN = 2,
    LOCKED = 5,
    STOP_CIRCUIT = 7,

    POLL_US = 20000,
    DIFFER_US = 300000,
    HALF_US = 250000,
    DEAD_US = 100000
};

struct wired_stage {
    struct wired_setup setup;
    struct port_own own[3];
    struct port_settings settings;
    struct port_host host;
    struct event_base *base;
    unsigned changes;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    struct error error;
    void *port;
};

struct wired_pin pin_at(unsigned chip, unsigned offset);
/* Active low, pulled up. */
struct wired_pin low_pin_at(unsigned chip, unsigned offset);

/* A sensor that reads 1.2 A from this folder, watched for freezing, a second. */
void wired_stage_add_current(struct wired_stage *stage, const struct tree *tree);

/* Relays for the motor, contacts, a lock with two outputs; nothing open yet. What is changed before
 * wired_stage_open() counts. */
void wired_stage_prepare(struct wired_stage *stage);
void wired_stage_open(struct wired_stage *stage);
/* Puts all to safe, closes, and checks that nothing stays open. */
void wired_stage_end(struct wired_stage *stage);

void wired_stage_sense(struct wired_stage *stage, uint64_t now_us);
void wired_stage_act(struct wired_stage *stage, uint64_t now_us);
/* One after the other. */
void wired_stage_cycle(struct wired_stage *stage, uint64_t now_us);

/* All that the loop has to do without waiting. */
void wired_stage_turn(struct wired_stage *stage);

#endif

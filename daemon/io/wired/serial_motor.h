/* serial_motor.h: a motor controller at a serial line, by lines of text
 * (base/text/line_template.h). A reply that is late or wrong, or a line that cannot be sent whole,
 * loses the controller: then only stop lines are sent, until the line has been opened anew and the
 * controller greeted again, for it may have been without power and forgotten what the greeting set:
 * its own timeout. Set `repeat_us` well below that: nothing here stops the motor once this program
 * is dead. */
#ifndef IO_SERIAL_MOTOR_H
#define IO_SERIAL_MOTOR_H

#include "base/error.h"
#include "base/text/line_template.h"
#include "io/port.h"
#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

struct event;

struct serial_motor {
    const struct wired_serial *setup;
    const struct port_host *host;
    int fd;                        /* -1: closed */
    char stop[LINE_TEMPLATE_MOST]; /* the stop line, filled in */
    size_t stop_length;
    struct event *readable;
    unsigned greeted;     /* greetings sent */
    long sent_effort;     /* of the last drive or stop line */
    bool was_sent;        /* there was one */
    uint64_t sent_us;     /* the last line */
    unsigned outstanding; /* replies */
    uint64_t waits_us;    /* for the oldest of them, since */
    char reply[128];
    unsigned reply_length; /* bytes of a reply that has not ended */
    bool is_lost;
    bool is_new; /* opened anew after a loss, and not yet ready */
    uint64_t reopened_us;
    struct error error; /* why it is lost */
};

/* Opens the line, 8 bits, no parity, and sends the stop line. */
bool serial_motor_open(struct serial_motor *motor, const struct wired_serial *setup,
                       const struct port_host *host, struct error *error);

/* Sends what is due for this effort, -1..1. A stop line does not wait for replies. Returns false
 * when the controller is lost. */
bool serial_motor_drive(struct serial_motor *motor, double effort, uint64_t now_us,
                        struct error *error);

/* Sends the stop line, whatever happened before. Returns whether the controller is there to hear
 * it: never of a lost one. The greeting follows in serial_motor_drive(). */
bool serial_motor_safe(struct serial_motor *motor, struct error *error);

/* Opens the line of a lost controller anew; nothing to do for another. Returns whether it is open.
 * May take as long as the kernel's driver takes. */
bool serial_motor_reopen(struct serial_motor *motor, uint64_t now_us, struct error *error);

/* Returns whether the controller can be believed: not lost, and, if it was, greeted again, with
 * every reply in; where no replies are configured, it must have taken all of that for a second. */
bool serial_motor_is_ready(struct serial_motor *motor, uint64_t now_us);

/* Async-signal-safe: sends the stop line, if the kernel takes it. */
void serial_motor_crash_stop(const struct serial_motor *motor);

uint32_t serial_motor_wake_us(const struct serial_motor *motor, uint64_t now_us);

void serial_motor_close(struct serial_motor *motor);

#endif

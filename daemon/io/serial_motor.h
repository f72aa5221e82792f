/* serial_motor.h: a motor controller at a serial line, by lines of text (base/line_template.h). A
 * reply that is late or wrong, or a line that cannot be sent, is an error; after an error only stop
 * lines are sent. Set the controller's own timeout, and `repeat_us` well below it: nothing here
 * stops the motor once this program is dead. */
#ifndef IO_SERIAL_MOTOR_H
#define IO_SERIAL_MOTOR_H

#include "base/error.h"
#include "io/port.h"
#include "io/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

struct event;

struct serial_motor {
    const struct wired_serial *setup;
    const struct port_host *host;
    int fd; /* -1: closed */
    struct event *readable;
    unsigned greeted;     /* greetings sent */
    long sent_effort;     /* of the last drive or stop line */
    bool was_sent;        /* there was one */
    uint64_t sent_us;     /* the last line */
    unsigned outstanding; /* replies */
    uint64_t waits_us;    /* for the oldest of them, since */
    char reply[128];
    unsigned reply_length;
    bool is_lost;
    struct error error; /* why */
};

/* Opens the line, 8 bits, no parity, and sends the stop line. */
bool serial_motor_open(struct serial_motor *motor, const struct wired_serial *setup,
                       const struct port_host *host, struct error *error);

/* Sends what is due for this effort, -1..1. A stop line does not wait for replies. Returns false
 * when the controller is lost. */
bool serial_motor_drive(struct serial_motor *motor, double effort, uint64_t now_us,
                        struct error *error);

/* Sends the stop line, whatever happened before. On success the controller is tried anew. */
bool serial_motor_safe(struct serial_motor *motor, struct error *error);

uint32_t serial_motor_wake_us(const struct serial_motor *motor, uint64_t now_us);

void serial_motor_close(struct serial_motor *motor);

#endif

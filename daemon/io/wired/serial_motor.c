#include "io/wired/serial_motor.h"

#include "core/timing.h"
#include "io/kernel/claim.h"
#include "io/wired/time_left.h"

#include <errno.h>
#include <event2/event.h>
#include <fcntl.h>
#include <math.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

/* ---- the line */

static bool find_speed(unsigned baud, speed_t *speed) {
    static const struct {
        unsigned baud;
        speed_t speed;
    } speeds[] = {{1200, B1200},   {2400, B2400},   {4800, B4800},   {9600, B9600},
                  {19200, B19200}, {38400, B38400}, {57600, B57600}, {115200, B115200}};
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        if (speeds[i].baud == baud) {
            *speed = speeds[i].speed;
            return true;
        }
    }
    return false;
}

static bool set_line(int fd, unsigned baud) {
    struct termios line;
    speed_t speed;
    if (!find_speed(baud, &speed)) {
        errno = EINVAL;
        return false;
    }
    if (tcgetattr(fd, &line) != 0) {
        return false;
    }
    line.c_iflag = IGNBRK;
    line.c_oflag = 0;
    line.c_lflag = 0;
    line.c_cflag = CS8 | CREAD | CLOCAL;
    line.c_cc[VMIN] = 0;
    line.c_cc[VTIME] = 0;
    return cfsetispeed(&line, speed) == 0 && cfsetospeed(&line, speed) == 0 &&
           ioctl(fd, TIOCEXCL) == 0 && tcsetattr(fd, TCSANOW, &line) == 0 &&
           tcflush(fd, TCIOFLUSH) == 0;
}

enum { TRUST_US = 1000000 };

/* ---- losing it */

static bool lose(struct serial_motor *motor, const char *what) {
    motor->is_lost = true;
    return error_set(&motor->error, motor->setup->device, "%s", what);
}

/* ---- lines out */

static bool send_line(struct serial_motor *motor, const char *text, long effort, uint64_t now_us) {
    const struct wired_serial *setup = motor->setup;
    struct line_values values = {.effort = effort,
                                 .direction = effort < 0 ? setup->lower_word : setup->raise_word};
    char line[LINE_TEMPLATE_MOST];
    size_t length = line_template_fill(text, &values, line, &motor->error);
    if (length == 0) {
        motor->is_lost = true;
        return false;
    }
    ssize_t written = write(motor->fd, line, length);
    if (written != (ssize_t)length) { /* what is missing would be glued to the next line */
        return lose(motor, written < 0 ? strerror(errno) : "accepted only part of a line");
    }
    motor->sent_us = now_us;
    if (setup->reply[0] != '\0') {
        motor->waits_us = motor->outstanding == 0 ? now_us : motor->waits_us;
        motor->outstanding++;
    }
    return true;
}

static bool send_effort(struct serial_motor *motor, long effort, uint64_t now_us) {
    motor->sent_effort = effort;
    motor->was_sent = true;
    return send_line(motor, effort == 0 ? motor->setup->stop : motor->setup->drive, effort, now_us);
}

/* ---- replies in */

static void take_reply(struct serial_motor *motor) {
    const char *wanted = motor->setup->reply;
    motor->reply[motor->reply_length] = '\0';
    if (motor->reply_length == 0 || wanted[0] == '\0') {
        return;
    }
    if (strncmp(motor->reply, wanted, strlen(wanted)) != 0) {
        motor->is_lost = true;
        error_set(&motor->error, motor->setup->device, "answered \"%.40s\", wanted \"%.40s\"",
                  motor->reply, wanted);
    } else if (motor->outstanding > 0) {
        motor->outstanding--;
        motor->waits_us = motor->sent_us;
    }
}

static void take_bytes(struct serial_motor *motor, const char *bytes, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (bytes[i] == '\r' || bytes[i] == '\n') {
            take_reply(motor);
            motor->reply_length = 0;
        } else if (motor->reply_length < sizeof motor->reply - 1) {
            motor->reply[motor->reply_length++] = bytes[i];
        }
    }
}

static void on_readable(evutil_socket_t fd, short what, void *context) {
    struct serial_motor *motor = context;
    (void)what;
    char bytes[256];
    ssize_t count = read((int)fd, bytes, sizeof bytes);
    if (count > 0) {
        take_bytes(motor, bytes, (size_t)count);
    } else if (count == 0 || (errno != EAGAIN && errno != EINTR)) {
        lose(motor, count == 0 ? "has gone" : strerror(errno));
        event_del(motor->readable);
    }
    motor->host->changed(motor->host->context);
}

/* ---- as a whole */

/* Before anything is driven: a line that cannot be filled would be found when it is needed. */
static bool fill_templates(struct serial_motor *motor, struct error *error) {
    const struct wired_serial *setup = motor->setup;
    const struct line_values values = {.effort = -(long)setup->full,
                                       .direction = setup->lower_word};
    char line[LINE_TEMPLATE_MOST];
    for (unsigned i = 0; i < setup->greetings; i++) {
        if (line_template_fill(setup->greeting[i], &values, line, error) == 0) {
            return false;
        }
    }
    motor->stop_length = line_template_fill(
        setup->stop, &(struct line_values){.direction = setup->raise_word}, motor->stop, error);
    return motor->stop_length != 0 && line_template_fill(setup->drive, &values, line, error) != 0;
}

static bool open_line(struct serial_motor *motor, struct error *error) {
    const struct wired_serial *setup = motor->setup;
    motor->fd = claim(setup->device, O_RDWR | O_NOCTTY | O_NONBLOCK, error);
    if (motor->fd < 0) {
        return false;
    }
    return set_line(motor->fd, setup->baud) ||
           error_set(error, setup->device, "%s", strerror(errno));
}

static bool wait_for_replies(struct serial_motor *motor, struct error *error) {
    const char *device = motor->setup->device;
    motor->readable =
        event_new(motor->host->base, motor->fd, EV_READ | EV_PERSIST, on_readable, motor);
    if (motor->readable == NULL) {
        return error_set(error, device, "cannot create an event");
    }
    event_priority_set(motor->readable, 0);
    return event_add(motor->readable, NULL) == 0 ||
           error_set(error, device, "its replies cannot be waited for");
}

bool serial_motor_open(struct serial_motor *motor, const struct wired_serial *setup,
                       const struct port_host *host, struct error *error) {
    *motor = (struct serial_motor){.setup = setup, .host = host, .fd = -1};
    bool is_open = fill_templates(motor, error) && open_line(motor, error) &&
                   wait_for_replies(motor, error) && serial_motor_safe(motor, error);
    if (!is_open) {
        serial_motor_close(motor);
    }
    return is_open;
}

static bool is_late(const struct serial_motor *motor, uint64_t now_us) {
    return motor->outstanding > 0 && now_us - motor->waits_us >= motor->setup->reply_us;
}

static bool send_due(struct serial_motor *motor, long effort, uint64_t now_us) {
    const struct wired_serial *setup = motor->setup;
    bool is_new = !motor->was_sent || effort != motor->sent_effort;
    if (is_new && effort == 0) {
        return send_effort(motor, 0, now_us);
    }
    if (motor->outstanding > 0) {
        return true;
    }
    if (motor->greeted < setup->greetings) {
        return send_line(motor, setup->greeting[motor->greeted++], 0, now_us);
    }
    bool is_due = setup->repeat_us > 0 && now_us - motor->sent_us >= setup->repeat_us;
    return (!is_new && !is_due) || send_effort(motor, effort, now_us);
}

bool serial_motor_drive(struct serial_motor *motor, double effort, uint64_t now_us,
                        struct error *error) {
    long number = lround(effort * motor->setup->full);
    if (!motor->is_lost && is_late(motor, now_us)) {
        lose(motor, "no reply in time");
    }
    if (motor->is_lost || !send_due(motor, number, now_us)) {
        return error_set(error, motor->error.where, "%s", motor->error.what);
    }
    return true;
}

/* Does not wait behind what is still to go out, and twice: the first may be glued to a cut line. */
static void send_stop_anyhow(const struct serial_motor *motor) {
    if (motor->fd >= 0) {
        tcflush(motor->fd, TCOFLUSH);
        for (int i = 0; i < 2; i++) {
            ssize_t written = write(motor->fd, motor->stop, motor->stop_length);
            (void)written;
        }
    }
}

static void forget_lines(struct serial_motor *motor) {
    motor->outstanding = 0;
    motor->reply_length = 0;
    motor->was_sent = false; /* the stop line goes out once more, and its reply is waited for */
    motor->greeted = 0;
}

bool serial_motor_safe(struct serial_motor *motor, struct error *error) {
    if (!motor->is_lost) {
        forget_lines(motor);
        if (send_line(motor, motor->setup->stop, 0, 0)) {
            motor->outstanding = 0;
            return true;
        }
    }
    send_stop_anyhow(motor);
    return error_set(error, motor->error.where, "%s", motor->error.what);
}

bool serial_motor_reopen(struct serial_motor *motor, uint64_t now_us, struct error *error) {
    if (!motor->is_lost) {
        return true;
    }
    if (motor->fd >= 0) {
        tcflush(motor->fd, TCOFLUSH); /* or closing would wait until it has gone out */
    }
    serial_motor_close(motor);
    forget_lines(motor);
    if (!open_line(motor, error) || !wait_for_replies(motor, error)) {
        serial_motor_close(motor);
        return false;
    }
    motor->is_lost = false;
    motor->is_new = true;
    motor->reopened_us = now_us;
    return true;
}

/* Until then a line without replies may still turn out to be gone. */
static uint32_t must_prove_us(const struct serial_motor *motor, uint64_t now_us) {
    bool has_replies = motor->setup->reply[0] != '\0';
    return motor->is_new && !has_replies ? time_left_us(motor->reopened_us, TRUST_US, now_us) : 0;
}

bool serial_motor_is_ready(struct serial_motor *motor, uint64_t now_us) {
    bool is_greeted = motor->was_sent && motor->greeted == motor->setup->greetings;
    if (motor->is_lost || !is_greeted || motor->outstanding > 0 ||
        must_prove_us(motor, now_us) > 0) {
        return false;
    }
    motor->is_new = false;
    return true;
}

uint32_t serial_motor_wake_us(const struct serial_motor *motor, uint64_t now_us) {
    if (motor->is_lost) {
        return UINT32_MAX;
    }
    if (motor->outstanding > 0) {
        return time_left_us(motor->waits_us, motor->setup->reply_us, now_us);
    }
    if (!motor->was_sent || motor->greeted < motor->setup->greetings) {
        return 0;
    }
    uint32_t repeat_us = motor->setup->repeat_us > 0
                             ? time_left_us(motor->sent_us, motor->setup->repeat_us, now_us)
                             : UINT32_MAX;
    return motor->is_new ? sooner_us(repeat_us, must_prove_us(motor, now_us)) : repeat_us;
}

void serial_motor_crash_stop(const struct serial_motor *motor) {
    send_stop_anyhow(motor);
}

void serial_motor_close(struct serial_motor *motor) {
    if (motor->readable != NULL) {
        event_free(motor->readable);
        motor->readable = NULL;
    }
    if (motor->fd >= 0) {
        close(motor->fd);
        motor->fd = -1;
    }
}

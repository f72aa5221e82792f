#include "io/serial_motor.h"

#include "base/line_template.h"
#include "io/claim.h"
#include "io/time_left.h"

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
    if (written != (ssize_t)length) {
        return lose(motor, written < 0 ? strerror(errno) : "takes no more bytes");
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
static bool are_templates_good(const struct wired_serial *setup, struct error *error) {
    const struct line_values values = {.effort = -(long)setup->full,
                                       .direction = setup->lower_word};
    char line[LINE_TEMPLATE_MOST];
    for (unsigned i = 0; i < setup->greetings; i++) {
        if (line_template_fill(setup->greeting[i], &values, line, error) == 0) {
            return false;
        }
    }
    return line_template_fill(setup->drive, &values, line, error) != 0 &&
           line_template_fill(setup->stop, &values, line, error) != 0;
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
        return error_set(error, device, "no event to be had");
    }
    event_priority_set(motor->readable, 0);
    return event_add(motor->readable, NULL) == 0 ||
           error_set(error, device, "its replies cannot be waited for");
}

bool serial_motor_open(struct serial_motor *motor, const struct wired_serial *setup,
                       const struct port_host *host, struct error *error) {
    *motor = (struct serial_motor){.setup = setup, .host = host, .fd = -1};
    bool is_open = are_templates_good(setup, error) && open_line(motor, error) &&
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

bool serial_motor_safe(struct serial_motor *motor, struct error *error) {
    motor->is_lost = false;
    motor->outstanding = 0;
    motor->reply_length = 0;
    motor->was_sent = false; /* the stop line goes out once more, and its reply is waited for */
    motor->greeted = 0;
    if (!send_line(motor, motor->setup->stop, 0, 0)) {
        return error_set(error, motor->error.where, "%s", motor->error.what);
    }
    motor->outstanding = 0;
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
    return motor->setup->repeat_us > 0
               ? time_left_us(motor->sent_us, motor->setup->repeat_us, now_us)
               : UINT32_MAX;
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

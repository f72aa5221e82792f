/* A motor controller at a pseudo-terminal, played by the test. */
#define _XOPEN_SOURCE 700 /* posix_openpt() */
#include "io/serial_motor.h"
#include "support/check.h"

#include <event2/event.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { REPLY_US = 50000, REPEAT_US = 200000 };

struct stage {
    struct wired_serial setup;
    struct port_host host;
    struct serial_motor motor;
    struct error error;
    unsigned changes;
    int controller;
    char heard[256];
};

/* Stands in for libevent's (the linker's --wrap): an epoll of the kernel may be full. */
static bool cannot_watch;
int __real_event_add(struct event *event, const struct timeval *timeout);
int __wrap_event_add(struct event *event, const struct timeval *timeout);

int __wrap_event_add(struct event *event, const struct timeval *timeout) {
    return cannot_watch ? -1 : __real_event_add(event, timeout);
}

static void count_change(void *context) {
    ((struct stage *)context)->changes++;
}

static void prepare(struct stage *stage) {
    *stage = (struct stage){.setup = {.baud = 9600,
                                      .full = 1000,
                                      .greetings = 1,
                                      .greeting = {"hello\r"},
                                      .drive = "go {effort}\r",
                                      .stop = "stop\r",
                                      .reply = "ok",
                                      .reply_us = REPLY_US,
                                      .repeat_us = REPEAT_US}};
    stage->controller = posix_openpt(O_RDWR | O_NOCTTY);
    assert_true(stage->controller >= 0);
    assert_int_equal(grantpt(stage->controller), 0);
    assert_int_equal(unlockpt(stage->controller), 0);
    snprintf(stage->setup.device, sizeof stage->setup.device, "%s", ptsname(stage->controller));
    stage->host =
        (struct port_host){.base = event_base_new(), .changed = count_change, .context = stage};
    assert_int_equal(event_base_priority_init(stage->host.base, 2), 0);
}

/* What the controller hears until `last` has come. */
static const char *hear(struct stage *stage, const char *last) {
    size_t length = 0;
    stage->heard[0] = '\0';
    while (strstr(stage->heard, last) == NULL) {
        struct pollfd wait = {.fd = stage->controller, .events = POLLIN};
        assert_int_equal(poll(&wait, 1, 10000), 1);
        ssize_t count =
            read(stage->controller, stage->heard + length, sizeof stage->heard - 1 - length);
        assert_true(count > 0);
        length += (size_t)count;
        stage->heard[length] = '\0';
    }
    return stage->heard;
}

/* Whether nothing waits for the controller. */
static bool is_silent(const struct stage *stage) {
    struct pollfd wait = {.fd = stage->controller, .events = POLLIN};
    return poll(&wait, 1, 0) == 0;
}

static void say(struct stage *stage, const char *text) {
    unsigned before = stage->changes;
    assert_int_equal(write(stage->controller, text, strlen(text)), strlen(text));
    while (stage->changes == before) {
        event_base_loop(stage->host.base, EVLOOP_ONCE);
    }
}

static bool drive(struct stage *stage, double effort, uint64_t now_us) {
    return serial_motor_drive(&stage->motor, effort, now_us, &stage->error);
}

/* Stopped, greeted, and nothing outstanding. */
static void open_stage(struct stage *stage) {
    prepare(stage);
    assert_true(serial_motor_open(&stage->motor, &stage->setup, &stage->host, &stage->error));
    assert_string_equal(hear(stage, "\r"), "stop\r");
    assert_true(drive(stage, 0, 0));
    assert_string_equal(hear(stage, "\r"), "stop\r");
    say(stage, "ok\r\n");
    assert_true(drive(stage, 0, 0));
    assert_string_equal(hear(stage, "\r"), "hello\r");
    say(stage, "ok\r\n");
}

static void end_stage(struct stage *stage) {
    serial_motor_close(&stage->motor);
    event_base_free(stage->host.base);
    close(stage->controller);
}

static void line_whose_replies_cannot_be_waited_for_is_refused(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    cannot_watch = true;
    bool is_open = serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error);
    cannot_watch = false;
    assert_false(is_open);
    assert_string_equal(stage.error.where, stage.setup.device);
    assert_non_null(strstr(stage.error.what, "cannot be waited for"));
    assert_int_equal(stage.motor.fd, -1);
    end_stage(&stage);
}

static void effort_goes_out_as_a_line(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    assert_true(drive(&stage, -0.25, 1));
    assert_string_equal(hear(&stage, "\r"), "go -250\r");
    end_stage(&stage);
}

static void next_line_waits_for_the_reply_but_stop_does_not(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    assert_true(drive(&stage, 0.6, 2));
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0, 3));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    end_stage(&stage);
}

static void line_is_repeated(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    say(&stage, "ok\r");
    assert_int_equal(serial_motor_wake_us(&stage.motor, 1), REPEAT_US);
    assert_true(drive(&stage, 0.5, REPEAT_US));
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0.5, REPEAT_US + 1));
    assert_string_equal(hear(&stage, "\r"), "go 500\r");
    end_stage(&stage);
}

static void late_reply_loses_the_controller(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    assert_int_equal(serial_motor_wake_us(&stage.motor, 1), REPLY_US);
    assert_true(drive(&stage, 0.5, REPLY_US));
    assert_false(drive(&stage, 0.5, REPLY_US + 1));
    assert_non_null(strstr(stage.error.what, "no reply"));
    hear(&stage, "\r");
    assert_false(drive(&stage, 0.5, REPLY_US + 2));
    assert_true(is_silent(&stage)); /* only stop lines from now on */
    assert_true(serial_motor_safe(&stage.motor, &stage.error));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    end_stage(&stage);
}

static void wrong_reply_loses_the_controller(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    say(&stage, "overheated\r");
    assert_false(drive(&stage, 0.5, 2));
    assert_non_null(strstr(stage.error.what, "overheated"));
    end_stage(&stage);
}

static void reply_may_come_in_pieces(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    say(&stage, "o");
    say(&stage, "k 5\r");
    assert_true(drive(&stage, 0.5, REPLY_US + 1)); /* nothing is outstanding any more */
    end_stage(&stage);
}

static void controller_that_goes_away_is_lost(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    close(stage.controller);
    stage.controller = -1;
    unsigned before = stage.changes;
    while (stage.changes == before) {
        event_base_loop(stage.host.base, EVLOOP_ONCE);
    }
    assert_false(drive(&stage, 0, 1));
    assert_false(serial_motor_safe(&stage.motor, &stage.error));
    end_stage(&stage);
}

static void line_that_cannot_be_filled_is_refused_at_once(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    snprintf(stage.setup.drive, sizeof stage.setup.drive, "go {speed}");
    assert_false(serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, "go {speed}");
    assert_true(is_silent(&stage));
    end_stage(&stage);
}

static void missing_device_is_refused(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    snprintf(stage.setup.device, sizeof stage.setup.device, "/nowhere");
    assert_false(serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, "/nowhere");
    end_stage(&stage);
}

/* A second daemon, started by mistake, must not stop the first one's motor behind its back. */
static void line_that_is_in_use_hears_nothing_of_another(void **state) {
    (void)state;
    struct stage stage;
    struct serial_motor second;
    open_stage(&stage);
    assert_false(serial_motor_open(&second, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, stage.setup.device);
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0.5, 1));
    assert_string_equal(hear(&stage, "\r"), "go 500\r");
    serial_motor_close(&stage.motor);
    assert_true(serial_motor_open(&second, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    serial_motor_close(&second);
    end_stage(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(line_whose_replies_cannot_be_waited_for_is_refused),
        cmocka_unit_test(effort_goes_out_as_a_line),
        cmocka_unit_test(next_line_waits_for_the_reply_but_stop_does_not),
        cmocka_unit_test(line_is_repeated),
        cmocka_unit_test(late_reply_loses_the_controller),
        cmocka_unit_test(wrong_reply_loses_the_controller),
        cmocka_unit_test(reply_may_come_in_pieces),
        cmocka_unit_test(controller_that_goes_away_is_lost),
        cmocka_unit_test(missing_device_is_refused),
        cmocka_unit_test(line_that_is_in_use_hears_nothing_of_another),
        cmocka_unit_test(line_that_cannot_be_filled_is_refused_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

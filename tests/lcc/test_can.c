/* A CAN bus as a link. The kernel's is stood in for by a pair of sockets; what the kernel itself
 * does is tried by tools/test-machine. */
#include "lcc/can.h"
#include "lcc/can_socket.h"
#include "support/check.h"
#include "support/lcc/lcc_stage.h"
#include "support/lcc/lcc_text.h"

#include <errno.h>
#include <event2/event.h>
#include <linux/can.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static struct lcc_stage stage;
static int other;       /* the bus's end of the pair; -1: none */
static unsigned opened; /* times */
static int open_fault, write_fault;
static unsigned refused; /* writes */

int __wrap_can_socket_open(const char *interface);
bool __real_can_socket_write(int fd, const struct lcc_frame *frame);
bool __wrap_can_socket_write(int fd, const struct lcc_frame *frame);

int __wrap_can_socket_open(const char *interface) {
    int ends[2];
    assert_string_equal(interface, "can0");
    opened++;
    if (open_fault != 0) {
        errno = open_fault;
        return -1;
    }
    assert_int_equal(socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_NONBLOCK | SOCK_CLOEXEC, 0, ends),
                     0);
    other = ends[1];
    return ends[0];
}

bool __wrap_can_socket_write(int fd, const struct lcc_frame *frame) {
    if (write_fault != 0) {
        errno = write_fault;
        refused++;
        return false;
    }
    return __real_can_socket_write(fd, frame);
}

static void begin(enum net_right right) {
    lcc_stage_init(&stage, 1);
    stage.config.lcc.listeners = 0;
    stage.config.lcc.buses = 1;
    strcpy(stage.config.lcc.can[0].interface, "can0");
    stage.config.lcc.can[0].right = right;
    other = -1;
    opened = refused = 0;
    write_fault = 0;
    lcc_stage_open(&stage);
}

static void end(void) {
    open_fault = 0;
    lcc_stage_close(&stage);
    if (other >= 0) {
        close(other);
    }
}

/* The next frame on the bus; turns the loop until there is one. */
static const char *next_frame(void) {
    struct lcc_frame frame;
    int got;
    while ((got = can_socket_read(other, &frame)) < 0) {
        assert_int_equal(errno, EAGAIN);
        turning_once(&stage.turning);
    }
    assert_int_equal(got, 1);
    return lcc_text_of(&frame);
}

static void await(const char *frame) {
    while (strcmp(next_frame(), frame) != 0) {
    }
}

static void put(const char *text) {
    struct lcc_frame frame = lcc_text_frame(text);
    assert_true(__real_can_socket_write(other, &frame));
    lcc_stage_settle(&stage);
}

static void put_raw(uint32_t id, const char *bytes, unsigned length) {
    struct can_frame raw = {.can_id = id, .can_dlc = (uint8_t)length};
    memcpy(raw.data, bytes, length);
    assert_int_equal(write(other, &raw, sizeof raw), sizeof raw);
    lcc_stage_settle(&stage);
}

static void a_bridge_is_a_node_of_the_can_bus(void **state) {
    (void)state;
    begin(NET_OPERATE);
    assert_string_equal(next_frame(), ":X170A44F7N;");
    await(":X191004F7N0A4452000001;");
    await(":X194C74F7N010000000000FFFF;");
    put(":X195B434CN0A44520000011000;");
    assert_int_equal(stage.asked, REQUEST_RAISE);
    assert_string_equal(stage.visitor, "LCC, may operate, by CAN bus can0");
    end();
}

static void frames_of_other_kinds_are_passed_over(void **state) {
    (void)state;
    begin(NET_OPERATE);
    await(":X194C74F7N010000000000FFFF;");
    static const char raise[] = "\x0A\x44\x52\x00\x00\x01\x10\x00";
    put_raw(0x195B434C, raise, 8);                               /* 11 bits */
    put_raw(0x195B434C | CAN_EFF_FLAG | CAN_RTR_FLAG, raise, 8); /* remote */
    put_raw(0x195B434C | CAN_EFF_FLAG | CAN_ERR_FLAG, raise, 8); /* an error */
    assert_int_equal(write(other, raise, 8), 8);                 /* not a frame at all */
    lcc_stage_settle(&stage);
    assert_int_equal(stage.asks, 0);
    put_raw(0x195B434C | CAN_EFF_FLAG, raise, 8);
    assert_int_equal(stage.asks, 1);
    end();
}

static void a_bus_that_is_not_there_is_tried_again(void **state) {
    (void)state;
    open_fault = ENODEV;
    begin(NET_OBSERVE);
    assert_int_equal(opened, 1);
    while (opened < 2) {
        turning_once(&stage.turning);
    }
    open_fault = 0;
    while (other < 0) {
        turning_once(&stage.turning);
    }
    await(":X191004F7N0A4452000001;");
    end();
}

static void a_bus_that_goes_comes_back_with_all_states(void **state) {
    (void)state;
    begin(NET_OBSERVE);
    await(":X194C74F7N010000000000FFFF;");
    close(other);
    other = -1;
    while (other < 0) {
        turning_once(&stage.turning);
    }
    assert_string_equal(next_frame(), ":X170A44F7N;");
    await(":X191004F7N0A4452000001;");
    end();
}

/* The kernel has no room: nothing spins, and nothing is lost while our queue has some. */
static void a_full_kernel_is_waited_for(void **state) {
    (void)state;
    begin(NET_OBSERVE);
    await(":X194C74F7N010000000000FFFF;");
    write_fault = ENOBUFS;
    put(":X1949034CN;");
    while (refused < 3) {
        turning_once(&stage.turning);
    }
    write_fault = 0;
    await(":X191704F7N0A4452000001;");
    end();
}

static void a_bus_that_took_nothing_for_long_is_told_all_anew(void **state) {
    (void)state;
    begin(NET_OBSERVE);
    await(":X194C74F7N010000000000FFFF;");
    write_fault = ENOBUFS;
    for (unsigned i = 0; i < 2 * CAN_QUEUE; i++) {
        put(":X1982834CN04F7;"); /* has an answer */
        turning_once(&stage.turning);
    }
    stage.view[0].state.phase = PHASE_FAULT;
    lcc_stage_tell(&stage, 0);
    lcc_stage_settle(&stage);
    write_fault = 0;
    put(":X1949034CN;");
    await(":X191004F7N0A4452000001;");
    await(":X195444F7N0A44520000010006;"); /* fault, valid */
    end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bridge_is_a_node_of_the_can_bus),
        cmocka_unit_test(frames_of_other_kinds_are_passed_over),
        cmocka_unit_test(a_bus_that_is_not_there_is_tried_again),
        cmocka_unit_test(a_bus_that_goes_comes_back_with_all_states),
        cmocka_unit_test(a_full_kernel_is_waited_for),
        cmocka_unit_test(a_bus_that_took_nothing_for_long_is_told_all_anew),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

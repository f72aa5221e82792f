/* Checks of a CAN bus as the kernel has it, run within the machine of tools/test-machine: vcan0,
 * which init has made and brought up; with the word "daemon", a daemon that is a node on it.
 * Prints a line for each check; exits 0 if all are good. */
#include "lcc/can_socket.h"
#include "machine/chips.h"

#include <errno.h>
#include <linux/can.h>
#include <linux/can/raw.h>
#include <net/if.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <unistd.h>

enum { COMES_MS = 10000 };

/* Another program on the bus, as the kernel's manual has it, past can_socket. */
static int open_plain(void) {
    int fd = socket(PF_CAN, SOCK_RAW, CAN_RAW);
    struct sockaddr_can address = {.can_family = AF_CAN,
                                   .can_ifindex = (int)if_nametoindex("vcan0")};
    return bind(fd, (const struct sockaddr *)&address, sizeof address) == 0 ? fd : -1;
}

static void put(int fd, uint32_t id, const char *data, unsigned length) {
    struct can_frame frame = {.can_id = id, .can_dlc = (uint8_t)length};
    memcpy(frame.data, data, length);
    check(write(fd, &frame, sizeof frame) == (ssize_t)sizeof frame, "a frame put on the bus");
}

static bool comes(int fd) {
    struct pollfd one = {.fd = fd, .events = POLLIN};
    return poll(&one, 1, COMES_MS) == 1;
}

static void check_frames(void) {
    int ours = can_socket_open("vcan0");
    int other = open_plain();
    struct lcc_frame frame = {.id = 0x195B44F7, .length = 8, .data = {1, 2, 3, 4, 5, 6, 7, 8}};
    struct can_frame raw;
    check(ours >= 0 && other >= 0, "two programs open the bus");
    errno = 0;
    check(can_socket_read(ours, &frame) == -1 && errno == EAGAIN, "no frame waits, none is read");
    check(can_socket_write(ours, &frame), "a frame is written");
    check(comes(other) && read(other, &raw, sizeof raw) == (ssize_t)sizeof raw &&
              raw.can_id == (0x195B44F7 | CAN_EFF_FLAG) && raw.can_dlc == 8 && raw.data[7] == 8,
          "the other program reads it whole");
    check(can_socket_read(ours, &frame) == -1 && errno == EAGAIN, "our own does not come back");
    put(other, 0x7FF, "x", 1);                                   /* 11 bits */
    put(other, 0x195B434C | CAN_EFF_FLAG | CAN_RTR_FLAG, "", 0); /* remote */
    put(other, 0x1070034C | CAN_EFF_FLAG, "", 0);
    put(other, 0x195B434C | CAN_EFF_FLAG, "abcdefgh", 8);
    check(comes(ours) && can_socket_read(ours, &frame) == 1 && frame.id == 0x1070034C &&
              frame.length == 0,
          "short ids and remote frames are passed over, an empty frame is not");
    check(can_socket_read(ours, &frame) == 1 && frame.id == 0x195B434C && frame.length == 8 &&
              memcmp(frame.data, "abcdefgh", 8) == 0,
          "and the next comes after it");
    close(ours);
    close(other);
}

static void check_order(void) {
    enum { FRAMES = 100 };
    int ours = can_socket_open("vcan0");
    int other = open_plain();
    bool is_in_order = true;
    for (unsigned i = 0; i < FRAMES; i++) {
        struct lcc_frame frame = {.id = 0x195B44F7, .length = 1, .data = {(uint8_t)i}};
        is_in_order = is_in_order && can_socket_write(ours, &frame);
    }
    for (unsigned i = 0; i < FRAMES && is_in_order; i++) {
        struct can_frame raw;
        is_in_order = comes(other) && read(other, &raw, sizeof raw) == (ssize_t)sizeof raw &&
                      raw.data[0] == i;
    }
    check(is_in_order, "a hundred frames come in their order");
    close(ours);
    close(other);
}

static void set_up(bool is_up) {
    int fd = socket(AF_INET, SOCK_DGRAM, 0);
    struct ifreq request = {.ifr_name = "vcan0", .ifr_flags = (short)(is_up ? IFF_UP : 0)};
    check(ioctl(fd, SIOCSIFFLAGS, &request) == 0, is_up ? "bus brought up" : "bus taken down");
    close(fd);
}

static void check_lost(void) {
    int ours = can_socket_open("vcan0");
    struct lcc_frame frame = {.id = 0x195B44F7};
    check(can_socket_open("vcan7") == -1 && errno == ENODEV, "a bus that is not there is told");
    set_up(false);
    check(comes(ours) && can_socket_read(ours, &frame) == -1 && errno == ENETDOWN,
          "one that goes down is noticed");
    close(ours);
    check(can_socket_open("vcan0") == -1 && errno == ENETDOWN, "and is not opened while down");
    set_up(true);
    ours = can_socket_open("vcan0");
    check(ours >= 0 && can_socket_write(ours, &frame), "up again it takes frames");
    close(ours);
}

/* Frames of the daemon of can.json, node 0A.44.52.00.00.01, until this one. */
static bool daemon_says(int fd, uint32_t kind, const char *data, unsigned length) {
    while (comes(fd)) {
        struct can_frame raw;
        bool is_whole = read(fd, &raw, sizeof raw) == (ssize_t)sizeof raw; /* else it was down */
        if (is_whole && (raw.can_id & 0x1FFFF000) == kind && raw.can_dlc == length &&
            memcmp(raw.data, data, length) == 0) {
            return true;
        }
    }
    return false;
}

static void check_daemon(void) {
    int other = open_plain();
    put(other, 0x1949034C | CAN_EFF_FLAG, "", 0); /* who is there? */
    check(daemon_says(other, 0x19170000, "\x0A\x44\x52\0\0\1", 6),
          "the daemon is a node on the bus");
    put(other, 0x1991434C | CAN_EFF_FLAG, "\x0A\x44\x52\0\0\1\0\0", 8);
    check(daemon_says(other, 0x19544000, "\x0A\x44\x52\0\0\1\0\0", 8), "and its bridge is lined");
    set_up(false);
    set_up(true);
    check(daemon_says(other, 0x19100000, "\x0A\x44\x52\0\0\1", 6),
          "a bus that was down is found again, and told who is there");
    close(other);
}

int main(int count, char **words) {
    if (count > 1 && strcmp(words[1], "daemon") == 0) {
        check_daemon();
    } else {
        check_frames();
        check_order();
        check_lost();
    }
    return failed == 0 ? 0 : 1;
}

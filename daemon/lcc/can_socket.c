#include "lcc/can_socket.h"

#include <errno.h>
#include <linux/can.h>
#include <linux/can/raw.h>
#include <net/if.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <unistd.h>

static bool is_up(int fd, const char *interface) {
    struct ifreq request = {0};
    snprintf(request.ifr_name, sizeof request.ifr_name, "%s", interface);
    if (ioctl(fd, SIOCGIFFLAGS, &request) != 0) {
        return false;
    }
    if ((request.ifr_flags & IFF_UP) == 0) {
        errno = ENETDOWN;
        return false;
    }
    return true;
}

static bool bind_to(int fd, const char *interface) {
    const struct can_filter filter = {.can_id = CAN_EFF_FLAG,
                                      .can_mask = CAN_EFF_FLAG | CAN_RTR_FLAG};
    struct sockaddr_can address = {.can_family = AF_CAN,
                                   .can_ifindex = (int)if_nametoindex(interface)};
    return address.can_ifindex != 0 && is_up(fd, interface) &&
           setsockopt(fd, SOL_CAN_RAW, CAN_RAW_FILTER, &filter, sizeof filter) == 0 &&
           bind(fd, (const struct sockaddr *)&address, sizeof address) == 0;
}

int can_socket_open(const char *interface) {
    int fd = socket(PF_CAN, SOCK_RAW | SOCK_NONBLOCK | SOCK_CLOEXEC, CAN_RAW);
    if (fd >= 0 && !bind_to(fd, interface)) {
        int fault = errno;
        close(fd);
        errno = fault;
        fd = -1;
    }
    return fd;
}

int can_socket_read(int fd, struct lcc_frame *frame) {
    struct can_frame raw;
    ssize_t got = read(fd, &raw, sizeof raw);
    if (got < 0) {
        return -1;
    }
    bool is_data =
        (raw.can_id & CAN_EFF_FLAG) != 0 && (raw.can_id & (CAN_RTR_FLAG | CAN_ERR_FLAG)) == 0;
    if (got == 0) {
        errno = ENETDOWN;
        return -1;
    }
    if (got != sizeof raw || !is_data || raw.can_dlc > LCC_FRAME_BYTES) {
        return 0;
    }
    *frame = (struct lcc_frame){.id = raw.can_id & CAN_EFF_MASK, .length = raw.can_dlc};
    memcpy(frame->data, raw.data, raw.can_dlc);
    return 1;
}

bool can_socket_write(int fd, const struct lcc_frame *frame) {
    struct can_frame raw = {.can_id = frame->id | CAN_EFF_FLAG, .can_dlc = frame->length};
    memcpy(raw.data, frame->data, frame->length);
    return write(fd, &raw, sizeof raw) == (ssize_t)sizeof raw;
}

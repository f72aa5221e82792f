/* can_socket.h: a CAN bus as the kernel has it: SocketCAN, raw frames (can(7); general knowledge of
 * the kernel). */
#ifndef LCC_CAN_SOCKET_H
#define LCC_CAN_SOCKET_H

#include "protocol/lcc/frame.h"

#include <stdbool.h>

/* Returns a socket that does not block and brings data frames with 29-bit ids, or -1 and errno:
 * ENETDOWN if the interface is not up. */
int can_socket_open(const char *interface);

/* Takes one frame. Returns 1, 0 for one that is to be passed over, or -1 and errno. */
int can_socket_read(int fd, struct lcc_frame *frame);

/* Returns false and errno if the kernel takes no more for now, or the bus is gone. */
bool can_socket_write(int fd, const struct lcc_frame *frame);

#endif

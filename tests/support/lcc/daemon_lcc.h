/* daemon_lcc.h: a node of LCC at a real daemon's listener. */
#ifndef SUPPORT_DAEMON_LCC_H
#define SUPPORT_DAEMON_LCC_H

#include "support/daemon/daemon.h"

struct daemon_node {
    int fd;
    char text[8192];
    size_t length;
};

/* Where the daemon listens for nodes: as its log says. */
uint16_t daemon_lcc_port(struct daemon_run *run);

void daemon_lcc_connect(struct daemon_node *node, uint16_t port);
void daemon_lcc_send(struct daemon_node *node, const char *frames);

/* Reads until this frame, without ":X" and alias, has come: "195B4", "N0A44520000010004;". Fails
 * the test after minutes without one. */
void daemon_lcc_await(struct daemon_node *node, const char *begins, const char *ends);

void daemon_lcc_disconnect(struct daemon_node *node);

#endif

#include "support/lcc/daemon_lcc.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { HANGS_MS = 400000 };

uint16_t daemon_lcc_port(struct daemon_run *run) {
    unsigned port = 0;
    const char *says;
    while ((says = strstr(run->tail, "LCC on 127.0.0.1 port ")) == NULL ||
           strchr(says, '\n') == NULL) {
        assert_true(daemon_read_log(run));
    }
    assert_int_equal(sscanf(says, "LCC on 127.0.0.1 port %u", &port), 1);
    return (uint16_t)port;
}

void daemon_lcc_connect(struct daemon_node *node, uint16_t port) {
    struct sockaddr_in address = {
        .sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK), .sin_port = htons(port)};
    *node = (struct daemon_node){.fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)};
    assert_int_equal(connect(node->fd, (const struct sockaddr *)&address, sizeof address), 0);
}

void daemon_lcc_send(struct daemon_node *node, const char *frames) {
    size_t length = strlen(frames);
    assert_int_equal(send(node->fd, frames, length, MSG_NOSIGNAL), (ssize_t)length);
}

static void read_more(struct daemon_node *node) {
    struct pollfd one = {.fd = node->fd, .events = POLLIN};
    assert_int_equal(poll(&one, 1, HANGS_MS), 1);
    ssize_t got = recv(node->fd, node->text + node->length, sizeof node->text - node->length, 0);
    assert_true(got > 0);
    node->length += (size_t)got;
}

/* Takes one frame off the front. Returns false if none is whole. */
static bool take(struct daemon_node *node, char frame[64]) {
    char *end = memchr(node->text, ';', node->length);
    char *begin = memchr(node->text, ':', node->length);
    if (end == NULL) {
        return false;
    }
    assert_true(begin != NULL && begin < end && end - begin < 63);
    snprintf(frame, 64, "%.*s", (int)(end - begin) + 1, begin);
    size_t taken = (size_t)(end - node->text) + 1;
    node->length -= taken;
    memmove(node->text, node->text + taken, node->length);
    return true;
}

void daemon_lcc_await(struct daemon_node *node, const char *begins, const char *ends) {
    enum { BEFORE = 2, ALIAS = 3 };
    for (;;) {
        char frame[64];
        while (!take(node, frame)) {
            read_more(node);
        }
        size_t length = strlen(begins);
        if (strncmp(frame + BEFORE, begins, length) == 0 &&
            strcmp(frame + BEFORE + length + ALIAS, ends) == 0) {
            return;
        }
    }
}

void daemon_lcc_disconnect(struct daemon_node *node) {
    close(node->fd);
}

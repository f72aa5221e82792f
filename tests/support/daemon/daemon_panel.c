#include "support/daemon/daemon_panel.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { HANGS_MS = 400000, STREAM_SIZE = 65536 };

uint16_t daemon_panel_port(struct daemon_run *run) {
    unsigned port = 0;
    const char *says;
    while ((says = strstr(run->tail, "panel on http://")) == NULL || strchr(says, '\n') == NULL) {
        assert_true(daemon_read_log(run));
    }
    assert_int_equal(sscanf(says, "panel on http://127.0.0.1:%u/", &port), 1);
    return (uint16_t)port;
}

static int connect_to(uint16_t port) {
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons(port)};
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(fd >= 0);
    assert_int_equal(connect(fd, (struct sockaddr *)&address, sizeof address), 0);
    return fd;
}

static void send_text(int fd, const char *text) {
    assert_int_equal(send(fd, text, strlen(text), MSG_NOSIGNAL), (ssize_t)strlen(text));
}

/* One more piece at the end; 0: the end. */
static size_t read_more(int fd, char *text, size_t size) {
    struct pollfd one = {.fd = fd, .events = POLLIN};
    assert_int_equal(poll(&one, 1, HANGS_MS), 1);
    size_t length = strlen(text);
    ssize_t got = recv(fd, text + length, size - 1 - length, 0);
    text[length + (got > 0 ? (size_t)got : 0)] = '\0';
    return got > 0 ? (size_t)got : 0;
}

int daemon_panel_ask(uint16_t port, const char *path, const char *body, char *answer, size_t size) {
    static char text[STREAM_SIZE];
    char request[2048];
    int code = 0;
    int fd = connect_to(port);
    if (body == NULL) {
        snprintf(request, sizeof request,
                 "GET %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nConnection: close\r\n\r\n", path, port);
    } else {
        snprintf(request, sizeof request,
                 "POST %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nOrigin: http://127.0.0.1:%u\r\n"
                 "Content-Type: application/json\r\nConnection: close\r\nContent-Length: "
                 "%zu\r\n\r\n%s",
                 path, port, port, strlen(body), body);
    }
    send_text(fd, request);
    text[0] = '\0';
    while (read_more(fd, text, sizeof text) > 0) {
    }
    close(fd);
    assert_int_equal(sscanf(text, "HTTP/1.%*d %d", &code), 1);
    const char *head_end = strstr(text, "\r\n\r\n");
    assert_non_null(head_end);
    snprintf(answer, size, "%s", head_end + 4);
    return code;
}

int daemon_panel_listen(uint16_t port) {
    int fd = connect_to(port);
    send_text(fd, "GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n");
    return fd;
}

bool daemon_panel_await(int fd, const char *words) {
    static char text[STREAM_SIZE];
    text[0] = '\0';
    while (strstr(text, words) == NULL) {
        size_t length = strlen(text);
        if (length > sizeof text / 2) { /* the words are never longer than what is kept */
            memmove(text, text + length / 2, length - length / 2 + 1);
        }
        if (read_more(fd, text, sizeof text) == 0) {
            return false;
        }
    }
    return true;
}

void daemon_panel_moment(uint16_t port, char *moment, size_t size) {
    static char text[STREAM_SIZE];
    static const char name[] = "\"moment\":\"";
    const char *found = NULL;
    int fd = daemon_panel_listen(port);
    text[0] = '\0';
    while (found == NULL || strchr(found, '}') == NULL) {
        assert_true(read_more(fd, text, sizeof text) > 0);
        found = strstr(text, name);
    }
    found += strlen(name);
    snprintf(moment, size, "%.*s", (int)strcspn(found, "\""), found);
    close(fd);
}

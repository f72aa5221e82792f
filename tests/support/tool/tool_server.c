#include "support/tool/tool_server.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

enum { CONNECTIONS = 4, LINE_SIZE = 2048, PATIENCE_S = 600 };

static _Noreturn void give_up(const struct tool_server_step *step, const char *why) {
    fprintf(stderr, "fake server: connection %d, \"%s\": %s\n", step->connection,
            step->text != NULL ? step->text : "", why);
    _exit(1);
}

static void expect(int socket, const struct tool_server_step *step) {
    char line[LINE_SIZE];
    size_t length = 0;
    do {
        if (length == sizeof line || recv(socket, line + length, 1, 0) != 1) {
            give_up(step, "no such line came");
        }
    } while (line[length++] != '\n');
    line[length - 1] = '\0';
    if (strcmp(line, step->text) != 0) {
        give_up(step, line);
    }
}

static void expect_end(int socket, const struct tool_server_step *step) {
    char byte;
    if (recv(socket, &byte, 1, 0) != 0) {
        give_up(step, "did not end");
    }
}

static void send_text(int socket, const struct tool_server_step *step) {
    size_t length = strlen(step->text);
    if (send(socket, step->text, length, MSG_NOSIGNAL) != (ssize_t)length) {
        give_up(step, "could not be sent");
    }
}

static void flood(int socket, const char *text) {
    while (send(socket, text, strlen(text), MSG_NOSIGNAL) > 0) {
    }
}

/* Sends each text at once, as a server does that has its replies together. */
static int accept_connection(int listener) {
    int accepted = accept(listener, NULL, NULL);
    int yes = 1;
    setsockopt(accepted, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    return accepted;
}

static void play(int listener, int sockets[CONNECTIONS], const struct tool_server_step *step) {
    int *socket = &sockets[step->connection];
    switch (step->act) {
    case FAKE_END:
        break;
    case FAKE_ACCEPT:
        *socket = accept_connection(listener);
        break;
    case FAKE_SEND:
        send_text(*socket, step);
        break;
    case FAKE_EXPECT:
        expect(*socket, step);
        break;
    case FAKE_CLOSE:
        close(*socket);
        *socket = -1;
        break;
    case FAKE_GONE:
        expect_end(*socket, step);
        break;
    case FAKE_HUSH:
        shutdown(*socket, SHUT_WR);
        expect_end(*socket, step);
        break;
    case FAKE_FLOOD:
        flood(*socket, step->text);
        break;
    case FAKE_INTERRUPT:
        kill(getppid(), SIGINT);
        break;
    }
}

static _Noreturn void serve(int listener, const struct tool_server_step *script) {
    alarm(PATIENCE_S); /* a client that never closes fails the test instead of hanging it */
    int sockets[CONNECTIONS] = {-1, -1, -1, -1};
    for (const struct tool_server_step *step = script; step->act != FAKE_END; step++) {
        play(listener, sockets, step);
    }
    for (int i = 0; i < CONNECTIONS; i++) {
        char rest[LINE_SIZE];
        while (sockets[i] >= 0 && recv(sockets[i], rest, sizeof rest, 0) > 0) {
        }
    }
    _exit(0);
}

void tool_server_start(struct tool_server *server, const struct tool_server_step *script) {
    int listener = socket(AF_INET, SOCK_STREAM, 0);
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof address;
    assert_true(listener >= 0);
    assert_int_equal(bind(listener, (struct sockaddr *)&address, size), 0);
    assert_int_equal(listen(listener, CONNECTIONS), 0);
    assert_int_equal(getsockname(listener, (struct sockaddr *)&address, &size), 0);
    server->port = ntohs(address.sin_port);
    server->child = fork();
    assert_true(server->child >= 0);
    if (server->child == 0) {
        serve(listener, script);
    }
    close(listener);
}

bool tool_server_finish(struct tool_server *server) {
    int status = 0;
    waitpid(server->child, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

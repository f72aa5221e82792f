#define _GNU_SOURCE /* posix_openpt(), closefrom() */
#include "support/daemon/daemon.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

enum { HANGS_MS = 400000, ARGUMENTS_MAX = 16 };

static const char program[] = BINARY_DIR "/drawtenderd";
static rlim_t descriptors_most; /* of the next daemon; 0: as many as the test itself */
static bool has_terminal;       /* the next daemon */
static const char *sound_file;  /* of the next daemon; NULL: none */

/* ---- processes */

static pid_t spawn(const char *const arguments[], int out, int err) {
    pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid > 0) {
        return pid;
    }
    char *vector[ARGUMENTS_MAX + 2] = {(char *)(uintptr_t)program};
    for (unsigned i = 0; i < ARGUMENTS_MAX && arguments[i] != NULL; i++) {
        vector[i + 1] = (char *)(uintptr_t)arguments[i];
    }
    dup2(out, STDOUT_FILENO);
    dup2(err, STDERR_FILENO);
    if (has_terminal && (setsid() < 0 || ioctl(STDERR_FILENO, TIOCSCTTY, 0) != 0)) {
        _exit(126);
    }
    /* Whoever started the test may have ignored them. */
    signal(SIGHUP, SIG_DFL);
    signal(SIGINT, SIG_DFL);
    signal(SIGQUIT, SIG_DFL);
    closefrom(STDERR_FILENO + 1); /* what is left of whoever started the test */
    const struct rlimit limit = {descriptors_most, descriptors_most};
    if (descriptors_most > 0 && setrlimit(RLIMIT_NOFILE, &limit) != 0) {
        _exit(126);
    }
    execv(program, vector);
    _exit(127);
}

static void make_pipe(int ends[2]) {
    assert_int_equal(pipe(ends), 0);
    assert_int_not_equal(fcntl(ends[0], F_SETFD, FD_CLOEXEC), -1);
    assert_int_not_equal(fcntl(ends[1], F_SETFD, FD_CLOEXEC), -1);
}

static void make_terminal(int ends[2]) {
    ends[0] = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
    assert_true(ends[0] >= 0);
    assert_int_equal(grantpt(ends[0]), 0);
    assert_int_equal(unlockpt(ends[0]), 0);
    ends[1] = open(ptsname(ends[0]), O_RDWR | O_NOCTTY | O_CLOEXEC);
    assert_true(ends[1] >= 0);
}

static bool wait_readable(int fd) {
    struct pollfd one = {.fd = fd, .events = POLLIN};
    return poll(&one, 1, HANGS_MS) == 1;
}

/* Keeps the end of what was logged. */
bool daemon_read_log(struct daemon_run *run) {
    size_t filled = strlen(run->tail);
    if (filled > sizeof run->tail / 2) {
        size_t dropped = filled / 2;
        memmove(run->tail, run->tail + dropped, filled - dropped + 1);
        filled -= dropped;
    }
    if (!wait_readable(run->log)) {
        fail_msg("the daemon logged nothing for minutes; so far:\n%s", run->tail);
    }
    ssize_t got = read(run->log, run->tail + filled, sizeof run->tail - 1 - filled);
    if (got <= 0) {
        return false;
    }
    run->tail[filled + (size_t)got] = '\0';
    return true;
}

void daemon_start(struct daemon_run *run, const char *config, const char *pace) {
    daemon_start_at(run, config, pace, 0);
}

void daemon_start_at(struct daemon_run *run, const char *config, const char *pace, uint16_t at) {
    int ends[2];
    char wanted[8];
    (has_terminal ? make_terminal : make_pipe)(ends);
    snprintf(wanted, sizeof wanted, "%u", at);
    const char *const arguments[] = {
        "--config",     config,   "--pace",
        pace,           "--port", wanted,
        "--panel-port", "0",      sound_file != NULL ? "--sound" : NULL,
        sound_file,     NULL};
    memset(run, 0, sizeof *run);
    run->log = ends[0];
    run->pid = spawn(arguments, ends[1], ends[1]);
    sound_file = NULL;
    close(ends[1]);

    const char *says;
    unsigned port;
    while ((says = strstr(run->tail, "listening on ")) == NULL || strchr(says, '\n') == NULL) {
        if (!daemon_read_log(run)) {
            fail_msg("the daemon did not start:\n%s", run->tail);
        }
    }
    assert_int_equal(sscanf(says, "listening on %*s port %u", &port), 1);
    run->port = (uint16_t)port;
}

void daemon_limit_descriptors(unsigned most) {
    descriptors_most = most;
}

unsigned daemon_descriptors(const struct daemon_run *run) {
    char path[64];
    snprintf(path, sizeof path, "/proc/%d/fd", (int)run->pid);
    DIR *folder = opendir(path);
    assert_non_null(folder);
    unsigned count = 0;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        count += entry->d_name[0] != '.';
    }
    closedir(folder);
    return count;
}

void daemon_write_sound(const char *file) {
    sound_file = file;
}

void daemon_give_terminal(bool is_given) {
    has_terminal = is_given;
}

int daemon_end(struct daemon_run *run, int signal_number) {
    assert_int_equal(kill(run->pid, signal_number), 0);
    return daemon_await_end(run);
}

int daemon_await_end(struct daemon_run *run) {
    int status = 0;
    while (daemon_read_log(run)) {
    }
    assert_int_equal(waitpid(run->pid, &status, 0), run->pid);
    close(run->log);
    return status;
}

static void read_all(int fd, char *text, size_t size) {
    size_t filled = 0;
    char chunk[4096];
    ssize_t got;
    while (wait_readable(fd) && (got = read(fd, chunk, sizeof chunk)) > 0) {
        for (ssize_t i = 0; text != NULL && i < got && filled + 1 < size; i++) {
            text[filled++] = chunk[i];
        }
    }
    if (text != NULL) {
        text[filled] = '\0';
    }
}

int daemon_run_once(const char *const arguments[], char *out, char *err, size_t size) {
    int out_ends[2];
    int err_ends[2];
    int status = 0;
    make_pipe(out_ends);
    make_pipe(err_ends);
    pid_t pid = spawn(arguments, out_ends[1], err_ends[1]);
    close(out_ends[1]);
    close(err_ends[1]);
    read_all(out_ends[0], out, size);
    read_all(err_ends[0], err, size);
    close(out_ends[0]);
    close(err_ends[0]);
    assert_int_equal(waitpid(pid, &status, 0), pid);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* ---- sessions */

void daemon_send(struct daemon_session *session, const char *bytes, size_t length) {
    while (length > 0) {
        ssize_t sent = send(session->fd, bytes, length, MSG_NOSIGNAL);
        if (sent < 0) {
            assert_int_equal(errno, EINTR);
            continue;
        }
        bytes += sent;
        length -= (size_t)sent;
    }
}

static void take_line(struct daemon_session *session, size_t length) {
    const char *start = session->buffer;
    size_t rest = session->filled - length - 1;
    const char *blank = memchr(start, ' ', length);
    session->stamp_us = 0;
    if (blank != NULL && start[0] >= '0' && start[0] <= '9') { /* behind the time stamp */
        session->stamp_us = (uint64_t)(strtod(start, NULL) * 1e6 + 0.5);
        length -= (size_t)(blank + 1 - start);
        start = blank + 1;
    }
    snprintf(session->line, sizeof session->line, "%.*s", (int)length, start);
    size_t last = strlen(session->line);
    if (last > 0 && session->line[last - 1] == '\r') {
        session->line[last - 1] = '\0';
    }
    memmove(session->buffer, session->buffer + session->filled - rest, rest);
    session->filled = rest;
}

bool daemon_read(struct daemon_session *session) {
    for (;;) {
        const char *end = memchr(session->buffer, '\n', session->filled);
        if (end != NULL) {
            take_line(session, (size_t)(end - session->buffer));
            return true;
        }
        assert_true(session->filled < sizeof session->buffer);
        if (!wait_readable(session->fd)) {
            fail_msg("nothing came for minutes; last line: %s", session->line);
        }
        ssize_t got = recv(session->fd, session->buffer + session->filled,
                           sizeof session->buffer - session->filled, 0);
        if (got <= 0) {
            return false;
        }
        session->filled += (size_t)got;
    }
}

const char *daemon_ask(struct daemon_session *session, const char *line) {
    char whole[16384];
    int length = snprintf(whole, sizeof whole, "%s\n", line);
    assert_true(length > 0 && (size_t)length < sizeof whole);
    daemon_send(session, whole, (size_t)length);
    assert_true(daemon_read(session));
    return session->line;
}

static void assert_begins(const char *line, const char *wanted, const char *asked) {
    if (strncmp(line, wanted, strlen(wanted)) != 0) {
        fail_msg("%s: wanted \"%s\", got \"%s\"", asked, wanted, line);
    }
}

void daemon_expect(struct daemon_session *session, const char *line, const char *reply) {
    assert_begins(daemon_ask(session, line), reply, line);
}

void daemon_read_until(struct daemon_session *session, const char *wanted, const char *forbidden) {
    do {
        if (!daemon_read(session)) {
            fail_msg("closed while waiting for \"%s\"", wanted);
        }
        if (forbidden != NULL && strncmp(session->line, forbidden, strlen(forbidden)) == 0) {
            fail_msg("\"%s\" came before \"%s\"", session->line, wanted);
        }
    } while (strncmp(session->line, wanted, strlen(wanted)) != 0);
}

/* "SET 1 GA ..." is of bus 1. */
static unsigned bus_of(const char *request) {
    unsigned bus;
    assert_int_equal(sscanf(request, "%*s %u", &bus), 1);
    return bus;
}

void daemon_reach(struct daemon_session *command, const char *request,
                  struct daemon_session *watcher, const char *wait) {
    char acknowledge[48];
    snprintf(acknowledge, sizeof acknowledge, "SET %u GA 1 4 1 -1", bus_of(request));
    for (unsigned tries = 0; tries < 20; tries++) {
        daemon_ask(command, request);
        if (strncmp(daemon_ask(watcher, wait), "100 INFO", 8) == 0) {
            return;
        }
        daemon_ask(command, acknowledge);
    }
    fail_msg("never came: %s", wait);
}

static void note_fault(struct daemon_faults *faults, const char *line) {
    char name[DAEMON_FAULT_SIZE];
    unsigned bus;
    if (sscanf(line, "100 INFO 0 GM 0 0 FAULT %u %31s", &bus, name) == 2 && bus < DAEMON_BUSES &&
        strcmp(name, "none") != 0 && faults->of[bus][0] == '\0') {
        memcpy(faults->of[bus], name, sizeof name);
    }
}

struct daemon_faults daemon_read_faults(struct daemon_session *info,
                                        struct daemon_session *command) {
    static const char mark[] = "100 INFO 0 GM 0 0 MARK";
    struct daemon_faults faults = {0};
    daemon_expect(command, "SET 0 GM 0 0 MARK", "200 OK");
    do {
        if (!daemon_read(info)) {
            fail_msg("closed before its mark");
        }
        note_fault(&faults, info->line);
    } while (strncmp(info->line, mark, sizeof mark - 1) != 0);
    return faults;
}

void daemon_expect_busy(const char *fault) {
    if (strcmp(fault, "late") != 0 && strcmp(fault, "device-lost") != 0) {
        fail_msg("the fault \"%s\" is not of a busy machine", fault);
    }
}

void daemon_knock(const struct daemon_run *run, struct daemon_session *session) {
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons(run->port)};
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    session->filled = 0;
    session->line[0] = '\0';
    session->fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(session->fd >= 0);
    assert_int_equal(connect(session->fd, (struct sockaddr *)&address, sizeof address), 0);
}

bool daemon_enter(struct daemon_session *session, const char *mode) {
    if (!daemon_read(session)) { /* welcome */
        return false;
    }
    char line[64];
    snprintf(line, sizeof line, "SET CONNECTIONMODE SRCP %s", mode);
    daemon_expect(session, line, "202 OK CONNECTIONMODE");
    daemon_expect(session, "GO", "200 OK GO ");
    return true;
}

void daemon_connect(const struct daemon_run *run, struct daemon_session *session,
                    const char *mode) {
    daemon_knock(run, session);
    assert_true(daemon_enter(session, mode));
}

void daemon_disconnect(struct daemon_session *session) {
    close(session->fd);
    session->fd = -1;
}

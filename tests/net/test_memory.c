/* Memory runs out at every place in turn: the server refuses or ends one client, and serves the
 * next. The server runs in a child process whose allocator fails (tests/CMakeLists.txt wraps it);
 * the clients are the parent's. Layout time is hurried, no time is asserted. */
#include "base/log.h"
#include "support/check.h"
#include "support/net/net_host.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { HANGS_MS = 400000, PACE = 1000, NEVER = 1000000 };

/* ---- the allocator */

static unsigned calls, good_calls = UINT32_MAX, bad_calls;

static bool is_out_of_memory(void) {
    unsigned call = calls++;
    return call >= good_calls && call - good_calls < bad_calls;
}

static void plan(unsigned good, unsigned bad) {
    calls = 0;
    good_calls = good;
    bad_calls = bad;
}

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *memory, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *memory, size_t size);

void *__wrap_malloc(size_t size) {
    return is_out_of_memory() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return is_out_of_memory() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *memory, size_t size) {
    return is_out_of_memory() ? NULL : __real_realloc(memory, size);
}

/* ---- the server */

static struct fake_host host;
static struct event_base *base;

static uint64_t hurried_us(void *context) {
    (void)context;
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return ((uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000) * PACE;
}

static void stop(void *context) {
    (void)context;
    event_base_loopexit(base, NULL);
}

static struct net_server *new_server(void) {
    static struct net_setup setup;
    struct error error;
    fake_setup(&setup, 2);
    fake_host_init(&host);
    struct net_host interface = fake_host_interface(&host);
    interface.now_us = hurried_us;
    interface.pace = PACE;
    interface.stop = stop;
    host.server = net_server_new(base, &setup, &interface, &error);
    return host.server;
}

/* Runs the server in a child process; from its start on `good` calls of the allocator succeed,
 * `bad` fail. Writes the port, and at the end how many calls there were. */
static pid_t run_server(unsigned good, unsigned bad, int *from) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    fflush(stdout);
    pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid > 0) {
        close(ends[1]);
        *from = ends[0];
        return pid;
    }
    log_set_level(LOG_ERROR);
    event_set_mem_functions(__wrap_malloc, __wrap_realloc, free);
    base = event_base_new();
    struct net_server *server = new_server();
    uint16_t port = net_server_port(server, 0);
    plan(good, bad);
    bool is_run =
        write(ends[1], &port, sizeof port) == sizeof port && event_base_dispatch(base) >= 0;
    unsigned used = calls;
    plan(NEVER, 0);
    is_run = write(ends[1], &used, sizeof used) == sizeof used && is_run;
    net_server_free(server);
    event_base_free(base);
    exit(is_run ? 0 : 1);
}

/* ---- clients */

struct caller {
    int fd;
    size_t filled;
    char bytes[65536];
    char line[2048];
};

/* false: nobody listens any more. */
static bool call(struct caller *caller, uint16_t port) {
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons(port)};
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    caller->filled = 0;
    caller->fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(caller->fd >= 0);
    if (connect(caller->fd, (struct sockaddr *)&address, sizeof address) != 0) {
        close(caller->fd);
        return false;
    }
    return true;
}

static void say(const struct caller *caller, const char *words) {
    size_t length = strlen(words);
    while (length > 0) {
        ssize_t sent = send(caller->fd, words, length, MSG_NOSIGNAL);
        if (sent < 0) {
            return; /* the server has closed: the next reading tells */
        }
        words += sent;
        length -= (size_t)sent;
    }
}

/* The next line, or false: the server has closed. */
static bool hear(struct caller *caller) {
    for (;;) {
        char *end = memchr(caller->bytes, '\n', caller->filled);
        if (end != NULL) {
            size_t length = (size_t)(end - caller->bytes);
            snprintf(caller->line, sizeof caller->line, "%.*s", (int)length, caller->bytes);
            caller->filled -= length + 1;
            memmove(caller->bytes, end + 1, caller->filled);
            return true;
        }
        struct pollfd one = {.fd = caller->fd, .events = POLLIN};
        if (poll(&one, 1, HANGS_MS) != 1) {
            fail_msg("nothing came for minutes; the last line: %s", caller->line);
        }
        ssize_t got = recv(caller->fd, caller->bytes + caller->filled,
                           sizeof caller->bytes - caller->filled, 0);
        if (got <= 0) {
            return false;
        }
        caller->filled += (size_t)got;
    }
}

static bool hear_until(struct caller *caller, const char *words) {
    do {
        if (!hear(caller)) {
            return false;
        }
    } while (strstr(caller->line, words) == NULL);
    return true;
}

static bool ask(struct caller *caller, const char *line, const char *answer) {
    say(caller, line);
    return hear(caller) && strstr(caller->line, answer) != NULL;
}

static bool shake(struct caller *caller, const char *mode) {
    char line[64];
    snprintf(line, sizeof line, "SET CONNECTIONMODE SRCP %s\n", mode);
    return hear(caller) && ask(caller, line, " 202 OK") && ask(caller, "GO\n", " 200 OK GO ");
}

/* What asks for memory in many places; a client that is ended on the way is closed, and no more. */
static void use(struct caller *command, uint16_t port) {
    static const char *const lines[] = {
        "INIT 0 TIME 10 1\n",
        "SET 1 LOCK GA 3 1\n",
        "SET 1 GA 3 0 1 500\n",
        "SET 1 GA 1 1 1 -1\n",
        "SET 0 GM 0 0 CREW boat ahead\n",
        "WAIT 1 FB 3 1 1\n",
        "WAIT 0 TIME 0 0 1 0\n",
        "RESET 0 SERVER\n",
    };
    assert_true(call(command, port));
    shake(command, "COMMAND");
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        say(command, lines[i]);
        if (!hear(command)) {
            return;
        }
    }
    char many[8000] = "";
    for (int i = 0; i < 300; i++) {
        memcpy(many + (size_t)i * 11, "GET 1 FB 1\n", 12);
    }
    say(command, many);
    for (int i = 0; i < 300 && hear(command); i++) {
    }
}

static void play(uint16_t port) {
    static struct caller command, info, brief;
    assert_true(call(&info, port));
    if (shake(&info, "INFO")) {
        hear_until(&info, " GM 0 0 PHASE 2 ");
    }
    use(&command, port);
    assert_true(call(&brief, port));
    say(&brief, "SET CONN");
    close(brief.fd);
    say(&command, "SET 0 GM 0 0 MARK\n");
    if (hear_until(&command, " 200 OK")) {
        hear_until(&info, "MARK");
    }
    close(info.fd);
    close(command.fd);
}

/* A client that comes later has all that it wants, at the latest the eighth; it ends the server. */
static bool is_served(uint16_t port) {
    static struct caller fresh;
    bool is_good = false;
    for (int tries = 0; tries < 8 && call(&fresh, port); tries++) {
        is_good = shake(&fresh, "COMMAND") && ask(&fresh, "GET 1 FB 1\n", " 100 INFO 1 FB 1 1") &&
                  ask(&fresh, "SET 1 GA 11 1 1 -1\n", " 200 OK");
        say(&fresh, "TERM 0 SERVER\n");
        hear_until(&fresh, "nothing but its end");
        close(fresh.fd);
    }
    return is_good;
}

/* Returns how often the server asked for memory, the start apart. */
static unsigned run(unsigned good, unsigned bad) {
    int from;
    int status;
    uint16_t port;
    unsigned used = 0;
    pid_t pid = run_server(good, bad, &from);
    assert_int_equal(read(from, &port, sizeof port), sizeof port);
    play(port);
    bool is_good = is_served(port);
    if (!is_good) {
        kill(pid, SIGKILL);
    }
    bool is_told = read(from, &used, sizeof used) == sizeof used;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    close(from);
    if (!is_good || !is_told || status != 0) {
        fail_msg("no memory at call %u, for %u: %s, status %d", good, bad,
                 is_good ? "served" : "not served", status);
    }
    return used;
}

/* One call fails, wherever it is; then several on end. */
static void no_memory_anywhere_costs_one_client_at_the_most(void **state) {
    (void)state;
    static const unsigned on_end[] = {1, 5};
    for (size_t i = 0; i < sizeof on_end / sizeof on_end[0]; i++) {
        unsigned used = run(NEVER, 0);
        assert_true(used > 20);
        for (unsigned good = 0; good < used; good++) {
            run(good, on_end[i]);
        }
    }
}

/* Not enough for the server itself: it says so, and leaves nothing. */
static void server_that_has_no_memory_does_not_start(void **state) {
    (void)state;
    fflush(stdout);
    pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid == 0) {
        event_set_mem_functions(__wrap_malloc, __wrap_realloc, free);
        base = event_base_new();
        struct net_server *server = NULL;
        unsigned good = 0;
        for (; server == NULL; good++) {
            plan(good, 1);
            server = new_server();
        }
        plan(NEVER, 0);
        net_server_free(server);
        event_base_free(base);
        exit(good > 20 ? 0 : 1);
    }
    int status;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_memory_anywhere_costs_one_client_at_the_most),
        cmocka_unit_test(server_that_has_no_memory_does_not_start),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

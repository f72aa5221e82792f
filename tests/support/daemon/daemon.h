/* daemon.h: a real drawtenderd in a process of its own, and protocol sessions with it over TCP.
 * Time limits here are only there to end a test that hangs; nothing is asserted of wall-clock time.
 */
#ifndef SUPPORT_DAEMON_H
#define SUPPORT_DAEMON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

struct daemon_run {
    pid_t pid;
    int log; /* the daemon's standard error */
    uint16_t port;
    char tail[8192]; /* the last of what it logged */
};

/* Starts the daemon on a free port with a configuration file, and waits until it listens. */
void daemon_start(struct daemon_run *run, const char *config, const char *pace);

/* The same on this port, which one that has ended had. */
void daemon_start_at(struct daemon_run *run, const char *config, const char *pace, uint16_t port);

/* The next daemon that is started may have so many descriptors open, and no more. */
void daemon_limit_descriptors(unsigned most);

/* The next daemons have a terminal each, which is `log`: who closes that takes it away. */
void daemon_give_terminal(bool is_given);

/* The next daemon writes what is heard to this file; it must outlive the call that starts it. */
void daemon_write_sound(const char *file);

/* How many it has open. */
unsigned daemon_descriptors(const struct daemon_run *run);

/* Reads more of the log into run->tail; returns false at its end. */
bool daemon_read_log(struct daemon_run *run);

/* Sends a signal and waits for the end; returns the status as of waitpid(). */
int daemon_end(struct daemon_run *run, int signal_number);

/* Waits for the end that has been caused; returns the status as of waitpid(). */
int daemon_await_end(struct daemon_run *run);

/* Runs the daemon with these arguments (NULL at the end) to its end; returns its exit status, -1 if
 * it was killed. `out`, `err`: what it printed, cut to `size`; may be NULL. */
int daemon_run_once(const char *const arguments[], char *out, char *err, size_t size);

struct daemon_session {
    int fd;
    size_t filled;
    char buffer[65536];
    char line[2048];   /* the last line read, without time stamp and line end */
    uint64_t stamp_us; /* its time stamp: layout time; 0: it had none */
};

/* Connects and shakes hands; `mode` is "COMMAND" or "INFO". */
void daemon_connect(const struct daemon_run *run, struct daemon_session *session, const char *mode);
void daemon_disconnect(struct daemon_session *session);

/* Connects, and no more. */
void daemon_knock(const struct daemon_run *run, struct daemon_session *session);

/* From a connection to a session; false: the daemon closed instead. */
bool daemon_enter(struct daemon_session *session, const char *mode);

/* Sends bytes as they are. */
void daemon_send(struct daemon_session *session, const char *bytes, size_t length);

/* Reads one line into session->line; false: the daemon closed. Fails the test after minutes
 * without one. */
bool daemon_read(struct daemon_session *session);

/* Sends a line; returns the reply (session->line). */
const char *daemon_ask(struct daemon_session *session, const char *line);

/* Asks, and asserts that the reply begins so. */
void daemon_expect(struct daemon_session *session, const char *line, const char *reply);

/* Reads until a line begins with `wanted`; none that begins with `forbidden` (may be NULL) may come
 * before it. */
void daemon_read_until(struct daemon_session *session, const char *wanted, const char *forbidden);

/* Asks `command` for `request` until `wait`, which `watcher` waits for, is so. In real time, on a
 * machine that is too busy, a bridge may have found its loop or its link late, as it must: that
 * fault is acknowledged, and all is asked for again. */
void daemon_reach(struct daemon_session *command, const char *request,
                  struct daemon_session *watcher, const char *wait);

/* The first fault that was told of each bridge, by its bus; "": none. */
enum { DAEMON_BUSES = 3, DAEMON_FAULT_SIZE = 32 };
struct daemon_faults {
    char of[DAEMON_BUSES][DAEMON_FAULT_SIZE];
};

/* Reads the news so far; `command` has the daemon mark their end. */
struct daemon_faults daemon_read_faults(struct daemon_session *info,
                                        struct daemon_session *command);

/* Asserts that this fault of a bridge in real time may be a machine's that is too busy. */
void daemon_expect_busy(const char *fault);

#endif

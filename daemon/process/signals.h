/* signals.h: whatever signal would end this program ends it in order, and none suspends it. What
 * tells of a crash is crash.h's. */
#ifndef DAEMON_SIGNALS_H
#define DAEMON_SIGNALS_H

struct event_base;
struct signals;

/* From now on `stop` is called, in the loop, with the name of each signal that asks for the end.
 * Suspension from a terminal (SIGTSTP) is refused, and logged. SIGHUP stays ignored where it was,
 * as under nohup(1). Returns NULL where the system does not let it. */
struct signals *signals_new(struct event_base *base, void (*stop)(void *context, const char *name),
                            void *context);

/* Keeps what asks for the end waiting, beyond execve(2), until the next signals_new(): so that none
 * is lost between two programs. */
void signals_hold(void);

/* NULL is taken. */
void signals_free(struct signals *signals);

#endif

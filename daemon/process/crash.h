/* crash.h: a crash (SIGSEGV, SIGABRT and their like) still puts the outputs to safe, as far as that
 * can be done inside a signal handler; then the program dies of it as it would have. What is left
 * to the kernel, the wiring and the watchdogs: tests/daemon/README.md. */
#ifndef DAEMON_CRASH_H
#define DAEMON_CRASH_H

struct cycle;

/* From now on, for the loop's thread and all others. `cycle` may hold NULL, and must outlive it. */
void crash_guard(struct cycle *const cycle[], unsigned bridges);

/* No more: the cycles end. */
void crash_unguard(void);

#endif

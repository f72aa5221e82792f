/* thread.h: threads beside the control loop: they are in no hurry and take no signals. */
#ifndef BASE_THREAD_H
#define BASE_THREAD_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>

/* Starts a thread. Signals that ask the program for something go to the control loop; those that
 * tell of a crash can be caught in the thread, too. `stack_size` 0: the system's usual. Returns
 * false where there is none to be had. */
bool thread_start(pthread_t *thread, size_t stack_size, void *(*work)(void *context),
                  void *context);

/* The signals that tell of a crash; 0 behind the last. */
extern const int thread_crash_signals[];

#endif

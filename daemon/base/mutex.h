/* mutex.h: a mutex for what the control loop shares with another thread. */
#ifndef BASE_MUTEX_H
#define BASE_MUTEX_H

#include <pthread.h>
#include <stdbool.h>

/* Makes a mutex whose owner runs at the priority of whoever waits for it, so that a thread that has
 * stepped back behind the loop cannot hold up the loop while others use the processor. Where the
 * system has no priority inheritance it is a plain mutex. Returns false where there is none at all;
 * otherwise end it with pthread_mutex_destroy().
 *
 * A condition variable has a lock inside that inherits nothing: to wake a thread, the loop posts a
 * semaphore or writes to an eventfd, which never wait. */
bool mutex_init(pthread_mutex_t *mutex);

#endif

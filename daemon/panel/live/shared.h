/* shared.h: bytes that are made once and sent to many: they go when the last has them. One thread.
 */
#ifndef PANEL_SHARED_H
#define PANEL_SHARED_H

#include <stdbool.h>
#include <stddef.h>

struct evbuffer;

struct shared {
    size_t users;
    size_t length;
    char bytes[]; /* with a zero behind them that does not count */
};

/* A copy, with one user; NULL: no memory. */
struct shared *shared_new(const char *bytes, size_t length);

/* One user less; NULL is taken. */
void shared_release(struct shared *shared);

/* At the end of `to` without copying, where they stay until they are sent. false: no memory. */
bool shared_add(struct shared *shared, struct evbuffer *to);

#endif

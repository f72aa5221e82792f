#include "base/ring.h"

#include "base/invariant.h"

#include <errno.h>
#include <poll.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/eventfd.h>
#include <unistd.h>

struct ring {
    unsigned room;
    size_t size;
    char *items;
    atomic_uint put; /* counts of all that ever passed; they wrap as room does */
    atomic_uint taken;
    int bell; /* an eventfd */
};

struct ring *ring_new(unsigned room, size_t size) {
    struct ring *ring = calloc(1, sizeof *ring);
    if (ring == NULL) {
        return NULL;
    }
    ring->room = room;
    ring->size = size;
    ring->items = calloc(room, size);
    ring->bell = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
    if (ring->items == NULL || ring->bell < 0) {
        ring_free(ring);
        return NULL;
    }
    return ring;
}

void ring_free(struct ring *ring) {
    if (ring != NULL) {
        if (ring->bell >= 0) {
            close(ring->bell);
        }
        free(ring->items);
        free(ring);
    }
}

static void *item_at(struct ring *ring, unsigned count) {
    return ring->items + (count & (ring->room - 1)) * ring->size;
}

void *ring_room(struct ring *ring) {
    unsigned put = atomic_load_explicit(&ring->put, memory_order_relaxed);
    unsigned taken = atomic_load_explicit(&ring->taken, memory_order_acquire);
    return put - taken < ring->room ? item_at(ring, put) : NULL;
}

bool ring_put(struct ring *ring) {
    INVARIANT(ring_room(ring) != NULL);
    unsigned put = atomic_fetch_add_explicit(&ring->put, 1, memory_order_release) + 1;
    return put - atomic_load_explicit(&ring->taken, memory_order_relaxed) == ring->room / 2;
}

const void *ring_oldest(struct ring *ring) {
    unsigned taken = atomic_load_explicit(&ring->taken, memory_order_relaxed);
    unsigned put = atomic_load_explicit(&ring->put, memory_order_acquire);
    return put != taken ? item_at(ring, taken) : NULL;
}

void ring_drop(struct ring *ring) {
    INVARIANT(ring_oldest(ring) != NULL);
    atomic_fetch_add_explicit(&ring->taken, 1, memory_order_release);
}

void ring_wake(struct ring *ring) {
    uint64_t one = 1;
    while (write(ring->bell, &one, sizeof one) < 0 && errno == EINTR) {
    }
}

void ring_wait(struct ring *ring, int most_ms) {
    uint64_t rung;
    struct pollfd bell = {.fd = ring->bell, .events = POLLIN};
    if (poll(&bell, 1, most_ms) == 1) {
        ssize_t got = read(ring->bell, &rung, sizeof rung);
        (void)got; /* what it was woken for is in the ring */
    }
}

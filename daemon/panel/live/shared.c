#include "panel/live/shared.h"

#include "base/invariant.h"

#include <event2/buffer.h>
#include <stdlib.h>
#include <string.h>

struct shared *shared_new(const char *bytes, size_t length) {
    struct shared *shared = malloc(sizeof *shared + length + 1);
    if (shared != NULL) {
        shared->users = 1;
        shared->length = length;
        memcpy(shared->bytes, bytes, length);
        shared->bytes[length] = '\0';
    }
    return shared;
}

void shared_release(struct shared *shared) {
    INVARIANT(shared == NULL || shared->users > 0);
    if (shared != NULL && --shared->users == 0) {
        free(shared);
    }
}

static void sent(const void *bytes, size_t length, void *shared) {
    (void)bytes;
    (void)length;
    shared_release(shared);
}

bool shared_add(struct shared *shared, struct evbuffer *to) {
    shared->users++;
    if (evbuffer_add_reference(to, shared->bytes, shared->length, sent, shared) != 0) {
        shared->users--;
        return false;
    }
    return true;
}

#include "protocol/lcc/node/out.h"

unsigned lcc_out_room(const struct lcc_out *out) {
    return LCC_OUT_MAX - out->count;
}

bool lcc_out_message(struct lcc_out *out, const struct lcc_message *message) {
    struct lcc_frame frames[LCC_FRAMES_MAX];
    unsigned count = lcc_message_frames(message, frames, LCC_FRAMES_MAX);
    if (count == 0 || count > lcc_out_room(out)) {
        return false;
    }
    for (unsigned i = 0; i < count; i++) {
        out->frame[(out->first + out->count++) % LCC_OUT_MAX] = frames[i];
    }
    return true;
}

struct lcc_frame lcc_out_take(struct lcc_out *out) {
    struct lcc_frame frame = out->frame[out->first];
    out->first = (out->first + 1) % LCC_OUT_MAX;
    out->count--;
    return frame;
}

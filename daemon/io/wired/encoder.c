#include "io/wired/encoder.h"

#include <math.h>

void encoder_start(struct encoder *encoder, bool has_two, bool a, bool b) {
    *encoder = (struct encoder){.has_two = has_two, .level = {a, b}};
}

void encoder_drive(struct encoder *encoder, int direction) {
    if (direction != 0) {
        encoder->direction = direction;
    }
}

void encoder_edge(struct encoder *encoder, unsigned channel, bool level) {
    if (level == encoder->level[channel]) {
        encoder->is_lost = true;
        return;
    }
    encoder->level[channel] = level;
    if (!encoder->has_two) {
        encoder->count += encoder->direction;
        encoder->is_lost = encoder->is_lost || encoder->direction == 0;
        return;
    }
    /* Raising, A and B differ after an edge of A and are the same after one of B. */
    bool differ = encoder->level[0] != encoder->level[1];
    encoder->count += differ == (channel == 0) ? 1 : -1;
}

void encoder_resume(struct encoder *encoder, bool a, bool b) {
    encoder->level[0] = a;
    encoder->level[1] = b;
    encoder->is_lost = true;
}

void encoder_anchor(struct encoder *encoder, int64_t count) {
    encoder->count = count;
    encoder->is_anchored = true;
    encoder->is_lost = false;
}

double encoder_position(const struct encoder *encoder, double counts) {
    return encoder->is_anchored && !encoder->is_lost ? (double)encoder->count / counts : NAN;
}

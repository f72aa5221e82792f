/* encoder.h: counting the edges of a pulse generator. With two channels a quarter period apart
 * (quadrature) each edge tells its direction; with one the lift's own direction is taken. The count
 * is relative: an end contact anchors it.
 * Pure. */
#ifndef IO_ENCODER_H
#define IO_ENCODER_H

#include <stdbool.h>
#include <stdint.h>

struct encoder {
    bool has_two;  /* channels */
    bool level[2]; /* of A and B */
    int direction; /* one channel: 1 raises, -1 lowers; of the last drive, for it runs on */
    int64_t count;
    bool is_anchored; /* `count` is from the seat */
    bool is_lost;     /* an edge was missed: the count is worth nothing until the next anchor */
};

/* With these levels of its channels (B: any where there is one channel). */
void encoder_start(struct encoder *encoder, bool has_two, bool a, bool b);

/* The lift is driven: 1 raise, -1 lower; 0 changes nothing, the span may still move. */
void encoder_drive(struct encoder *encoder, int direction);

/* An edge of channel 0 (A) or 1 (B) to this level. When raising, A leads B. An edge to the level
 * that there is means that one was missed. */
void encoder_edge(struct encoder *encoder, unsigned channel, bool level);

/* Goes on after a time without edges taken: the levels are these, the count is lost. */
void encoder_resume(struct encoder *encoder, bool a, bool b);

/* The span is at this count. */
void encoder_anchor(struct encoder *encoder, int64_t count);

/* Of the travel, `counts` from seated to open; NAN while it is not known. */
double encoder_position(const struct encoder *encoder, double counts);

#endif

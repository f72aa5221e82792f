/* out.h: frames that wait to be sent, first in, first out; a message goes in whole or not at all,
 * so that nothing comes between its frames. */
#ifndef PROTOCOL_LCC_NODE_OUT_H
#define PROTOCOL_LCC_NODE_OUT_H

#include "protocol/lcc/message.h"

enum { LCC_OUT_MAX = 128 };

/* All zero is empty. */
struct lcc_out {
    struct lcc_frame frame[LCC_OUT_MAX];
    unsigned first, count;
};

unsigned lcc_out_room(const struct lcc_out *out);

/* Returns false, and adds nothing, if the message has no room. */
bool lcc_out_message(struct lcc_out *out, const struct lcc_message *message);

/* Takes the first frame; one must be there. */
struct lcc_frame lcc_out_take(struct lcc_out *out);

#endif

/* throttle.h: a span that is run by hand: no harder than the hand asks, only for as long as it
 * holds on, and never before the order of an opening. */
#ifndef PROVE_THROTTLE_H
#define PROVE_THROTTLE_H

#include "prove/judges/judged.h"

/* Each returns NULL, or the words of what was broken. */
const char *throttle_is_bounded(const struct judged *j);
const char *throttle_is_held(const struct judged *j);
const char *throttle_begins_in_order(const struct judged *j);

#endif

#include "lcc/retry.h"

unsigned retry_after_s(struct retry *retry) {
    unsigned next_s = retry->last_s == 0 ? (unsigned)RETRY_FIRST_S : 2 * retry->last_s;
    retry->last_s = next_s > RETRY_MOST_S ? (unsigned)RETRY_MOST_S : next_s;
    return retry->last_s;
}

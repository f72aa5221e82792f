/* still_time.h: time that passes only where a test says so, for what waits by base/time_limit.h.
 * The program must be linked with --wrap=time_limit_in,--wrap=time_limit_left_us. */
#ifndef SUPPORT_STILL_TIME_H
#define SUPPORT_STILL_TIME_H

#include <stdint.h>

void still_time_pass(uint32_t time_us);

/* Returns all that has passed. */
uint64_t still_time_us(void);

#endif

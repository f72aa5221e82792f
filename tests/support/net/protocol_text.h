/* protocol_text.h: helpers for tests of the protocol. */
#ifndef SUPPORT_PROTOCOL_TEXT_H
#define SUPPORT_PROTOCOL_TEXT_H

#include "protocol/text.h"

#include <stddef.h>
#include <stdint.h>

/* Fails the test, showing both, unless `text` is `wanted`. `about` names the case. */
void protocol_assert_text(struct srcp_text text, const char *wanted, const char *about);

/* A copy on the heap of exactly `length` bytes, so that the address sanitizer sees any read past
 * it. Free `at`. */
struct srcp_text protocol_text_copy(const char *bytes, size_t length);

/* Numbers by a fixed rule (xorshift, G. Marsaglia 2003): the same in every run. `seed` is not 0. */
uint32_t protocol_random(uint32_t *seed);

#endif

#include "support/net/protocol_text.h"

#include "support/check.h"

#include <stdlib.h>
#include <string.h>

void protocol_assert_text(struct srcp_text text, const char *wanted, const char *about) {
    if (!srcp_text_is(text, wanted)) {
        fail_msg("%s: found \"%.*s\", wanted \"%s\"", about, (int)text.length,
                 text.at == NULL ? "" : text.at, wanted);
    }
}

struct srcp_text protocol_text_copy(const char *bytes, size_t length) {
    char *copy = malloc(length > 0 ? length : 1);
    assert_non_null(copy);
    memcpy(copy, bytes, length);
    return (struct srcp_text){copy, length};
}

uint32_t protocol_random(uint32_t *seed) {
    *seed ^= *seed << 13;
    *seed ^= *seed >> 17;
    *seed ^= *seed << 5;
    return *seed;
}

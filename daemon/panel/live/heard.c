#include "panel/live/heard.h"

#include <ctype.h>
#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void heard_write(uint64_t start, uint64_t now_us, char text[HEARD_SIZE]) {
    snprintf(text, HEARD_SIZE, "%" PRIu64 "-%" PRIu64, start, now_us / 1000);
}

bool heard_is_fresh(const char *text, uint64_t start, uint64_t now_us) {
    char prefix[HEARD_SIZE];
    int length = snprintf(prefix, sizeof prefix, "%" PRIu64 "-", start);
    if (strncmp(text, prefix, (size_t)length) != 0 || !isdigit((unsigned char)text[length])) {
        return false;
    }
    char *end;
    errno = 0;
    uint64_t then_ms = strtoull(text + length, &end, 10);
    uint64_t now_ms = now_us / 1000;
    return errno == 0 && *end == '\0' && then_ms <= now_ms && now_ms - then_ms < HEARD_FRESH_MS;
}

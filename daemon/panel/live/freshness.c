#include "panel/live/freshness.h"

#include <ctype.h>
#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void freshness_write(uint64_t start, uint64_t now_us, char text[FRESHNESS_SIZE]) {
    snprintf(text, FRESHNESS_SIZE, "%" PRIu64 "-%" PRIu64, start, now_us / 1000);
}

bool freshness_is_fresh(const char *text, uint64_t start, uint64_t now_us) {
    char prefix[FRESHNESS_SIZE];
    int length = snprintf(prefix, sizeof prefix, "%" PRIu64 "-", start);
    if (strncmp(text, prefix, (size_t)length) != 0 || !isdigit((unsigned char)text[length])) {
        return false;
    }
    char *end;
    errno = 0;
    uint64_t then_ms = strtoull(text + length, &end, 10);
    uint64_t now_ms = now_us / 1000;
    return errno == 0 && *end == '\0' && then_ms <= now_ms && now_ms - then_ms < FRESHNESS_MS;
}

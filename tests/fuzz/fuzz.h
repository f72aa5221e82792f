/* fuzz.h: what every fuzz target has. A target is one file fuzz_<name>.c and a folder of small
 * seeds, corpus/<name>/. The tests run every seed and its beginnings through it; tools/fuzz goes on
 * from there. A reader of something new (HTTP) gets its file and folder here, and nothing
 * else: both find it by itself. */
#ifndef FUZZ_FUZZ_H
#define FUZZ_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

/* A property that must hold whatever the input; abort() is what the fuzzer calls a find. */
#define FUZZ_HOLDS(property)                                                                       \
    do {                                                                                           \
        if (!(property)) {                                                                         \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif

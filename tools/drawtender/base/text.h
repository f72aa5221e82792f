/* text.h: the bridge for people. */
#ifndef TOOLS_DRAWTENDER_TEXT_H
#define TOOLS_DRAWTENDER_TEXT_H

#include "tools/drawtender/client/picture.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* The whole picture, at a glance. */
void text_state(FILE *out, const struct picture *picture);

/* "clearing: main west: stop section occupied", "raising: 12.4 deg, 2.00 deg/s, 1.27 A". */
void text_progress(const struct picture *picture, char *out, size_t size);

/* What a change is in words; false if people need not read it (it says again what another did). */
bool text_change(const struct picture *picture, const struct picture_change *change, char *out,
                 size_t size);

/* "14:03:22.250", of the local day. `out` has 16 bytes. */
void text_time(uint64_t time_us, char out[16]);

#endif

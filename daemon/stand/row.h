/* row.h: what is sent to a row of lamps at an SPI device. Pure.
 *
 * A shift register takes one bit for each lamp, the farthest lamp's first, and shows them when the
 * chip select rises. Lamps with a clock and a data line take 32 zeros, then of each lamp, the
 * nearest first, a byte of brightness (three ones and five bits), blue, green, red; then as many
 * further clocks as pass the last lamp's bits on (both as data sheets have it, from memory). */
#ifndef STAND_ROW_H
#define STAND_ROW_H

#include "stand/setup.h"

#include <stddef.h>

enum { ROW_BYTES_MAX = 4 + 4 * STAND_PLACES_MAX + 4 + STAND_PLACES_MAX / 16 + 1 };

/* Fills `bytes` for the lamps that are lit, and their colours, by their places. Returns how many
 * bytes it are. */
size_t row_bytes(const struct stand_row *row, const bool lit[STAND_PLACES_MAX],
                 const enum stand_colour colour[STAND_PLACES_MAX],
                 unsigned char bytes[ROW_BYTES_MAX]);

#endif

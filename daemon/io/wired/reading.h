/* reading.h: whether a measured value can be believed. If not, there is no reading (S5): one
 * out of range is a broken wire or a dead supply, one that jumps is a loose contact, one that does
 * not change by a bit while the motor turns is a stuck converter.
 * Pure. Values in whatever unit the caller has. */
#ifndef IO_READING_H
#define IO_READING_H

#include <stdbool.h>
#include <stdint.h>

struct reading_limits {
    double least, most; /* in the unit of what is read: V or A, as is the jump */
    double jump_per_s;  /* 0: not watched */
    uint32_t frozen_us; /* 0: not watched */
};

struct reading {
    bool is_known; /* there was a value before */
    double last;
    uint64_t last_us;
    uint64_t changed_us; /* when it last changed, or was last not driven */
};

/* Takes a value of the time `now_us` (never backwards), NAN for one that could not be read. Returns
 * it, or NAN. After a jump the next one is judged against the new value: a real step is believed
 * one reading later. */
double reading_judge(struct reading *reading, const struct reading_limits *limits, double value,
                     bool is_driven, uint64_t now_us);

#endif

/* core_parts.h: a bridge's optional parts and its inputs as tables, so that a test can take each
 * one in turn. For bridges of one track with two rails, as puppet_setup() makes them. */
#ifndef SUPPORT_CORE_PARTS_H
#define SUPPORT_CORE_PARTS_H

#include "core/data/inputs.h"
#include "core/data/setup.h"

#include <stddef.h>

struct core_part {
    const char *name;
    size_t offset; /* of a bool in struct bridge_setup */
};

struct core_input {
    const char *name;
    size_t offset; /* of an enum level in struct bridge_inputs */
};

extern const struct core_part core_parts[];
extern const size_t core_parts_count;

/* Every level that a bridge with all parts reads, but the stop circuit. */
extern const struct core_input core_inputs[];
extern const size_t core_inputs_count;

/* Adds what a bridge of these parts cannot do without, and takes away what a hand, or a span
 * without a bar, has no use for. */
void core_parts_make_sound(struct bridge_setup *setup);

bool *core_part_of(struct bridge_setup *setup, size_t part);
enum level *core_input_of(struct bridge_inputs *inputs, size_t input);

/* The level `offset` bytes into the inputs. */
enum level *core_level_at(struct bridge_inputs *inputs, size_t offset);

#endif

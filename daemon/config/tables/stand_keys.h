/* stand_keys.h: what keys and axes of input devices are called in a configuration: as the kernel
 * names keys (linux/input-event-codes.h). Pure tables. */
#ifndef CONFIG_STAND_KEYS_H
#define CONFIG_STAND_KEYS_H

#include <stdbool.h>

/* "KEY_R", or a number. Returns whether there is such a key; if not, `meant` is the nearest name,
 * or NULL. */
bool stand_key_find(const char *name, unsigned *code, const char **meant);

/* Returns the name of a key, or NULL: it has a number alone. */
const char *stand_key_name(unsigned code);

/* Words for axes, NULL after the last; an index of them is what these take. */
extern const char *const stand_axis_words[];
bool stand_axis_is_relative(int word); /* its steps count, as an encoder's */
unsigned stand_axis_code(int word);

#endif

/* keyboard.h: a terminal that gives single keys, without Enter and echo. */
#ifndef TOOLS_DRAWTENDER_KEYBOARD_H
#define TOOLS_DRAWTENDER_KEYBOARD_H

#include <stdbool.h>
#include <termios.h>

/* Returns whether `in` is a terminal, and its settings then. */
bool keyboard_find(int in, struct termios *as_found);

/* From now on it gives single keys, its other settings as these. */
bool keyboard_give_keys(int in, const struct termios *settings);

#endif

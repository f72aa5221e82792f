/* default_label.h: what a device is called when the server gives no words for it: by the addresses
 * that a bridge has unless its configuration moves them. */
#ifndef TOOLS_DRAWTENDER_DEFAULT_LABEL_H
#define TOOLS_DRAWTENDER_DEFAULT_LABEL_H

#include "protocol/names.h"

#include <stddef.h>
#include <stdint.h>

/* Writes "span", "seated", "signal 11", "section 101", or "GA 300" for what has no default. */
void default_label(enum srcp_group group, int32_t address, char *label, size_t size);

#endif

/* line_label.h: what a device of an output is called, for people: "main.west.signal", "lock,
 * withdraw". Pure. */
#ifndef IO_LINE_LABEL_H
#define IO_LINE_LABEL_H

#include "core/words/lines.h"

enum { LINE_LABEL_SIZE = LINE_NAME_SIZE + 16 };

/* `tracks` may be NULL: then they are numbered. */
void line_label(const struct line_track tracks[], unsigned line, enum line_when when,
                char label[LINE_LABEL_SIZE]);

#endif

/* lcc_text.h: frames of the bus as text, as tests write and compare them. */
#ifndef SUPPORT_LCC_TEXT_H
#define SUPPORT_LCC_TEXT_H

#include "protocol/lcc/gridconnect.h"

/* Returns the frame of ":X...;"; the test fails if it is not exactly one. */
struct lcc_frame lcc_text_frame(const char *text);

/* Returns the frame as text without a line end, in one of a few buffers that take turns. */
const char *lcc_text_of(const struct lcc_frame *frame);

/* Fails the test unless `frames` are those of `text`, ":X...;:X...;". */
void lcc_text_check(const struct lcc_frame *frames, unsigned count, const char *text);

#endif

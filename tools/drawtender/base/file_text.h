/* file_text.h: a whole file in and out. */
#ifndef TOOLS_DRAWTENDER_FILE_TEXT_H
#define TOOLS_DRAWTENDER_FILE_TEXT_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { FILE_TEXT_MAX = 4 * 1024 * 1024 };

/* The text, ended with NUL, for the caller to free. NULL and `error`: not readable, too long, or
 * with a NUL within. */
char *file_text_read(const char *path, struct error *error);

/* Replaces the file whole or not at all: written beside it under another name, put on the disk,
 * then renamed over it. Mode and, where allowed, owner stay as they were; a new file gets 0644 as
 * far as the umask lets it. A symbolic link is followed. Returns false and fills `error`; then the
 * file is as it was. */
bool file_text_replace(const char *path, const char *text, struct error *error);

/* Whether both names lead to one file that is there, or are one name. */
bool file_text_is_same(const char *one, const char *other);

#endif

/* attribute.h: the small files in which the kernel shows a device: one value each. A file is opened
 * anew for each value, so that a device that has gone is noticed. */
#ifndef IO_ATTRIBUTE_H
#define IO_ATTRIBUTE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { ATTRIBUTE_PATH_SIZE = 256 };

/* Reads the first line of `folder`/`name`, without its end. Errors: there is no such file, it
 * cannot be read, it is empty or does not fit. */
bool attribute_text(const char *folder, const char *name, char *text, size_t size,
                    struct error *error);

/* A number with nothing around it; anything but a finite number is an error, never zero. */
bool attribute_number(const char *folder, const char *name, double *number, struct error *error);

bool attribute_put(const char *folder, const char *name, const char *text, struct error *error);
bool attribute_put_count(const char *folder, const char *name, uint64_t count, struct error *error);

bool attribute_is_there(const char *folder, const char *name);

/* The folder of the device: `device` itself if it has a slash, otherwise that folder in `class`
 * (such as "/sys/class/hwmon") whose file "name" says `device`. Errors: none does, or several. */
bool attribute_find(const char *class_folder, const char *device, char folder[ATTRIBUTE_PATH_SIZE],
                    struct error *error);

#endif

/* measure.h: how to find out, on the layout, what a configuration asks for. */
#ifndef CONFIG_MEASURE_H
#define CONFIG_MEASURE_H

#include <stddef.h>

/* For the value at this JSON Pointer, such as "/bridges/0/leaf/friction", or for the object that it
 * lies in: what to measure and with what, a sentence without its full stop; NULL where there is
 * nothing to measure. Static storage. */
const char *measure_for(const char *where);

/* For tests: the places there is advice for, "*" for a number: "/bridges/0/tracks/0/trains" is
 * "/tracks/" "*" "/trains". NULL after the last. */
const char *measure_place(size_t index);

#endif

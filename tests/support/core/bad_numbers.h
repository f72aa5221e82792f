/* bad_numbers.h: what no check may let pass. */
#ifndef SUPPORT_BAD_NUMBERS_H
#define SUPPORT_BAD_NUMBERS_H

#include <stdbool.h>
#include <stddef.h>

enum bad_numbers {
    NOT_FINITE,    /* NAN and both infinities */
    NEGATIVE,      /* and -1 */
    NOT_ABOVE_ZERO /* and 0 */
};

/* Puts each bad number into `field` of `what` in turn: `check(what)` must complain every time, and
 * must be content before and after. */
void bad_numbers_refused(double *field, enum bad_numbers bad, const char *(*check)(const void *),
                         const void *what);

/* What `check` says of `what` contains `words`. */
void bad_numbers_said(const char *found, const char *words);

#endif

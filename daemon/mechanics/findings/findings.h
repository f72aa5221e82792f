/* findings.h: what a builder asks before cutting metal, as rows: a value, and where there is
 * something to hold it against, whether it is good enough. Words are made elsewhere. A topic's sums
 * are in the rooms beside this one; here is only what is asked of them. Pure: no I/O, no
 * allocation.
 *
 * A calculated finding is not a proof: measure on the layout. */
#ifndef MECHANICS_FINDINGS_H
#define MECHANICS_FINDINGS_H

#include "mechanics/findings/rows.h"

/* Rows in the order of the list. `sizing` of the same; none of a span moved by hand. */
struct findings findings_of(const struct sizing_given *given, const struct sizing *sizing);

#endif

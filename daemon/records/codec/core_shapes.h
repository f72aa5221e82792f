/* core_shapes.h: every member of what bridge_step() takes and gives. A new member of the core is a
 * new row here; the test says which is missing. */
#ifndef RECORDS_CORE_SHAPES_H
#define RECORDS_CORE_SHAPES_H

#include "records/codec/shape.h"

extern const struct shape core_setup_shape;   /* struct bridge_setup */
extern const struct shape core_state_shape;   /* struct bridge_state */
extern const struct shape core_inputs_shape;  /* struct bridge_inputs */
extern const struct shape core_outputs_shape; /* struct bridge_outputs */
extern const struct shape core_request_shape; /* struct bridge_request */

/* Of all of them: what was kept by another core cannot be replayed by this one. 63 bits. */
uint64_t core_shapes_print(void);

#endif

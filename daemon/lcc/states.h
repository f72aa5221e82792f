/* states.h: a bridge's view as what its node tells. */
#ifndef LCC_STATES_H
#define LCC_STATES_H

#include "core/data/view.h"
#include "lcc/setup.h"
#include "protocol/lcc/node/events.h"

/* Returns whether it is so. What is not proved, where it could be, is unknown. */
enum lcc_truth states_truth(const struct lcc_state_setup *state, const struct bridge_setup *setup,
                            const struct bridge_view *view);

#endif

/* view.h: one bridge after one step: what it saw, what it is, what it does. */
#ifndef CORE_VIEW_H
#define CORE_VIEW_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/state.h"

struct bridge_view {
    struct bridge_inputs inputs;
    struct bridge_state state;
    struct bridge_outputs outputs;
};

#endif

/* bridges.h: the bridges of the fault table: one with every sensor, and some with few. */
#ifndef FAULTS_BRIDGES_H
#define FAULTS_BRIDGES_H

#include "core/data/setup.h"

#include <stdint.h>

enum fault_bridge {
    BRIDGE_WHOLE = 0,
    BRIDGE_CONTACTS_ALONE,
    BRIDGE_APPROACH_ALONE,
    BRIDGE_SPAN_ALONE,
    BRIDGE_BLIND_LOCK,
    FAULT_BRIDGES
};

struct bridge_setup bridges_setup(enum fault_bridge bridge, uint32_t debounce_us);

/* What it has, as a heading, and what stands for what it has not. */
const char *bridges_title(enum fault_bridge bridge);
const char *bridges_about(enum fault_bridge bridge);

#endif

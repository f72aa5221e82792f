/* recorder_bridge.h: what a record says about each of its bridges, once for all its steps. */
#ifndef RECORDS_RECORDER_BRIDGE_H
#define RECORDS_RECORDER_BRIDGE_H

#include "core/data/setup.h"
#include "records/event.h"

enum { RECORDER_BRIDGES_MAX = 8, RECORDER_NAME_SIZE = 48 };

struct recorder_bridge {
    char name[RECORDER_NAME_SIZE];
    unsigned bus;
    double travel; /* whole travel in `unit` */
    char unit[8];
    struct bridge_setup setup;
    struct event_places places;
};

#endif

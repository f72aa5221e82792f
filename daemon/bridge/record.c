#include "bridge/record.h"

#include <stdio.h>
#include <stdlib.h>

_Static_assert((int)RECORDER_BRIDGES_MAX >= (int)NET_BRIDGES_MAX, "room for every bridge");
_Static_assert((int)RECORDER_NAME_SIZE >= (int)NET_NAME_SIZE, "room for every name");

static void describe(const struct net_bridge_setup *net, struct recorder_bridge *bridge) {
    snprintf(bridge->name, sizeof bridge->name, "%s", net->name);
    snprintf(bridge->unit, sizeof bridge->unit, "%s", net->travel_unit);
    bridge->bus = net->bus;
    bridge->travel = net->travel;
    bridge->setup = net->setup;
    for (unsigned t = 0; t < net->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            snprintf(bridge->places.end[t][e], sizeof bridge->places.end[t][e], "%s.%s",
                     net->track_name[t], net->end_name[t][e]);
        }
    }
}

struct recorder *record_open(const struct config *config, const char *version, uint64_t now_us,
                             struct error *error) {
    struct recorder_bridge *bridge = calloc(RECORDER_BRIDGES_MAX, sizeof *bridge);
    if (bridge == NULL) {
        error_set(error, config->record.file, "out of memory for a record");
        return NULL;
    }
    for (unsigned i = 0; i < config->net.bridges; i++) {
        describe(&config->net.bridge[i], &bridge[i]);
    }
    struct recorder_pace pace = recorder_pace_usual;
    pace.write_ms = (unsigned)(config->record.write_us / 1000);
    struct recorder *recorder =
        recorder_new(&config->record, bridge, config->net.bridges, &pace, version, now_us, error);
    free(bridge);
    return recorder;
}

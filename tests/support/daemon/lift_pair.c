#include "support/daemon/lift_pair.h"

#include <stdio.h>
#include <string.h>

#define SIDE(name)                                                                                 \
    "{\"name\":\"" name "\",\"approach length\":\"1 m\",\"stop length\":\"1 m\","                  \
    "\"approach lock\":\"1 s\"}"
#define TRACK(name, end0, end1)                                                                    \
    "{\"name\":\"" name "\",\"span length\":\"1 m\",\"ends\":[" SIDE(end0) "," SIDE(end1) "]}"
#define OUTPUT(output, when, address)                                                              \
    "{\"output\":\"" output "\",\"when\":\"" when "\",\"link\":\"yard\",\"group\":\"GA\","         \
    "\"address\":" address ",\"port\":1,\"off port\":0}"

void lift_pair_start_yard(struct daemon_pair *pair, uint16_t port) {
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("yard.json");
    cJSON *bridge = daemon_config_bridge(tree);
    daemon_config_append(bridge, "tracks", TRACK("motor", "up", "down"));
    daemon_config_append(bridge, "tracks", TRACK("bar", "in", "out"));
    daemon_config_write(tree, "lift-yard", path);
    daemon_pair_start_yard(pair, path, port);
    remove(path);
}

void lift_pair_await_yard(struct daemon_pair *pair) {
    daemon_expect(&pair->yard_command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&pair->yard_command, "SET 1 POWER ON", "200 OK");
}

/* The yard's power is not the bridge's here: its accessories need it. */
static void drop_power(cJSON *bridge) {
    cJSON *lines = cJSON_GetObjectItem(bridge, "lines");
    for (int i = cJSON_GetArraySize(lines) - 1; i >= 0; i--) {
        const cJSON *group = cJSON_GetObjectItem(cJSON_GetArrayItem(lines, i), "group");
        if (strcmp(cJSON_GetStringValue(group), "POWER") == 0) {
            cJSON_DeleteItemFromArray(lines, i);
        }
    }
}

cJSON *lift_pair_config(void) {
    cJSON *tree = daemon_config_read("linked-bridge.json");
    cJSON *bridge = daemon_config_bridge(tree);
    drop_power(bridge);
    daemon_config_append(bridge, "lines", OUTPUT("lift", "raise", LIFT_RAISE));
    daemon_config_append(bridge, "lines", OUTPUT("lift", "lower", LIFT_LOWER));
    daemon_config_append(bridge, "lines", OUTPUT("lock", "driven", LIFT_DRIVE));
    daemon_config_append(bridge, "lines", OUTPUT("lock", "withdrawn", LIFT_WITHDRAW));
    return tree;
}

void lift_pair_expect(struct daemon_pair *pair, const char *address, int is_on) {
    char line[64];
    char reply[64];
    snprintf(line, sizeof line, "GET 1 GA %s 1", address);
    snprintf(reply, sizeof reply, "100 INFO 1 GA %s 1 %d", address, is_on);
    daemon_expect(&pair->yard_command, line, reply);
}

void lift_pair_wait(struct daemon_pair *pair, const char *address, int is_on) {
    char line[64];
    snprintf(line, sizeof line, "WAIT 1 GA %s 1 %d 300", address, is_on);
    daemon_expect(&pair->yard_command, line, "100 INFO 1 GA ");
}

void lift_pair_line(struct daemon_pair *pair) {
    static const char lower_it[] = "SET 1 GA 1 0 1 -1";
    daemon_reach(&pair->command, lower_it, &pair->command, "WAIT 1 FB 5 1 20");
    daemon_reach(&pair->command, lower_it, &pair->yard_command,
                 "WAIT 1 GA " LIFT_SIGNAL_WEST " 1 1 20");
    daemon_reach(&pair->command, lower_it, &pair->yard_command,
                 "WAIT 1 GA " LIFT_SIGNAL_EAST " 1 1 20");
}

#include "support/daemon/daemon_pair.h"

#include "support/daemon/daemon_config.h"

#include <stdio.h>

void daemon_pair_start_yard(struct daemon_pair *pair, const char *config, uint16_t port) {
    daemon_start_at(&pair->yard, config, "1", port);
    daemon_connect(&pair->yard, &pair->yard_command, "COMMAND");
    daemon_connect(&pair->yard, &pair->yard_info, "INFO");
    pair->has_yard = true;
}

void daemon_pair_start_bridge(struct daemon_pair *pair, cJSON *tree) {
    char path[DAEMON_CONFIG_PATH];
    daemon_config_link_to(daemon_config_bridge(tree), pair->yard.port);
    daemon_config_write(tree, "linked", path);
    daemon_start(&pair->bridge, path, "1");
    remove(path);
    daemon_connect(&pair->bridge, &pair->command, "COMMAND");
    daemon_connect(&pair->bridge, &pair->info, "INFO");
    pair->has_bridge = true;
}

void daemon_pair_end_yard(struct daemon_pair *pair, int how) {
    if (pair->has_yard) {
        daemon_disconnect(&pair->yard_command);
        daemon_disconnect(&pair->yard_info);
        daemon_end(&pair->yard, how);
        pair->has_yard = false;
    }
}

void daemon_pair_end_bridge(struct daemon_pair *pair, int how) {
    if (pair->has_bridge) {
        daemon_disconnect(&pair->command);
        daemon_disconnect(&pair->info);
        daemon_end(&pair->bridge, how);
        pair->has_bridge = false;
    }
}

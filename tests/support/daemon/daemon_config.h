/* daemon_config.h: configuration files for daemons of a test, made out of those that are there. */
#ifndef SUPPORT_DAEMON_CONFIG_H
#define SUPPORT_DAEMON_CONFIG_H

#include <cjson/cJSON.h>
#include <stddef.h>

enum { DAEMON_CONFIG_PATH = 256 };

/* A file of tests/daemon as a tree, for cJSON_Delete(). */
cJSON *daemon_config_read(const char *name);

/* The first bridge of it; owned by the tree. */
cJSON *daemon_config_bridge(const cJSON *tree);

/* Appends the JSON text to the array of this key. */
void daemon_config_append(cJSON *object, const char *key, const char *text);

/* The port that the bridge's first link goes to. */
void daemon_config_link_to(cJSON *bridge, unsigned port);

/* Writes the tree to a file of the build folder, and deletes the tree. Names with the test's
 * process in them never meet. The caller removes the file. */
void daemon_config_write(cJSON *tree, const char *name, char path[DAEMON_CONFIG_PATH]);

#endif

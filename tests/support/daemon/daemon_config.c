#include "support/daemon/daemon_config.h"

#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

cJSON *daemon_config_read(const char *name) {
    char path[DAEMON_CONFIG_PATH];
    snprintf(path, sizeof path, SOURCE_DIR "/tests/daemon/%s", name);
    char *text = config_text_of_file(path);
    cJSON *tree = cJSON_Parse(text);
    assert_non_null(tree);
    free(text);
    return tree;
}

cJSON *daemon_config_bridge(const cJSON *tree) {
    cJSON *bridge = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    assert_non_null(bridge);
    return bridge;
}

void daemon_config_append(cJSON *object, const char *key, const char *text) {
    cJSON *item = cJSON_Parse(text);
    assert_non_null(item);
    assert_true(cJSON_AddItemToArray(cJSON_GetObjectItem(object, key), item));
}

void daemon_config_link_to(cJSON *bridge, unsigned port) {
    cJSON *link = cJSON_GetArrayItem(cJSON_GetObjectItem(bridge, "links"), 0);
    cJSON *item = cJSON_GetObjectItem(link, "port");
    assert_non_null(item);
    cJSON_SetNumberValue(item, port);
}

void daemon_config_write(cJSON *tree, const char *name, char path[DAEMON_CONFIG_PATH]) {
    snprintf(path, DAEMON_CONFIG_PATH, BINARY_DIR "/%s-%d.json", name, (int)getpid());
    char *text = cJSON_Print(tree);
    FILE *file = fopen(path, "w");
    assert_true(text != NULL && file != NULL);
    assert_true(fputs(text, file) >= 0);
    fclose(file);
    cJSON_free(text);
    cJSON_Delete(tree);
}

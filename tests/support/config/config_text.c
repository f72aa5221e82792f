#include "support/config/config_text.h"

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *config_text_of_file(const char *path) {
    enum { SIZE = 1 << 20 };
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail_msg("%s cannot be read", path);
    }
    char *text = malloc(SIZE);
    assert_non_null(text);
    size_t length = fread(text, 1, SIZE - 1, file);
    fclose(file);
    text[length] = '\0';
    return text;
}

bool config_text_has(const struct config_list *list, const char *where, const char *words) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        if (strcmp(list->complaint[i].where, where) == 0 &&
            strstr(list->complaint[i].what, words) != NULL) {
            return true;
        }
    }
    return false;
}

void config_text_print(const struct config_list *list) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        print_error("%s: %s\n", list->complaint[i].where, list->complaint[i].what);
    }
}

static cJSON *child_of(cJSON *parent, const char *token) {
    return cJSON_IsArray(parent) ? cJSON_GetArrayItem(parent, (int)strtol(token, NULL, 10))
                                 : cJSON_GetObjectItemCaseSensitive(parent, token);
}

void config_text_patch(cJSON *tree, const char *where, const char *value) {
    char path[256];
    snprintf(path, sizeof path, "%s", where);
    char *rest = path + 1;
    char *slash;
    while ((slash = strchr(rest, '/')) != NULL) {
        *slash = '\0';
        tree = child_of(tree, rest);
        rest = slash + 1;
    }
    assert_non_null(tree);
    cJSON *old = child_of(tree, rest);
    if (old != NULL) {
        cJSON_Delete(cJSON_DetachItemViaPointer(tree, old));
    }
    if (value != NULL) {
        cJSON *new = cJSON_Parse(value);
        assert_non_null(new);
        if (cJSON_IsArray(tree)) {
            cJSON_InsertItemInArray(tree, (int)strtol(rest, NULL, 10), new);
        } else {
            cJSON_AddItemToObject(tree, rest, new);
        }
    }
}

bool config_text_read_with(const char *file, const char *where, const char *value,
                           struct config *config, struct config_report *report) {
    char path[256];
    snprintf(path, sizeof path, SOURCE_DIR "/config/%s", file);
    char *text = config_text_of_file(path);
    cJSON *tree = cJSON_Parse(text);
    config_text_patch(tree, where, value);
    char *patched = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(patched, strlen(patched), config, report);
    cJSON_free(patched);
    cJSON_Delete(tree);
    free(text);
    return is_usable;
}

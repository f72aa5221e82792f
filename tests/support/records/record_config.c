#include "support/records/record_config.h"

#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <stdlib.h>

void record_config_write(const char *path, const char *file, const char *more) {
    char *text = config_text_of_file(SOURCE_DIR "/tests/daemon/quiet-bridge.json");
    cJSON *tree = cJSON_Parse(text);
    char value[1024];
    snprintf(value, sizeof value, "{\"file\": \"%s\"%s}", file, more);
    config_text_patch(tree, "/record", value);
    char *patched = cJSON_Print(tree);
    FILE *out = fopen(path, "w");
    assert_non_null(out);
    fputs(patched, out);
    fclose(out);
    cJSON_free(patched);
    cJSON_Delete(tree);
    free(text);
}

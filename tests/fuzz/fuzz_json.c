/* JSON text: a tree within its limits, or an error with its place. */
#include "config/reader/json_text.h"
#include "fuzz/fuzz.h"

#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct error error = {.where = "", .what = ""};
    cJSON *tree = json_text_parse((const char *)data, size, &error);
    if (tree == NULL) {
        FUZZ_HOLDS(error.where[0] != '\0' && error.what[0] != '\0');
    }
    cJSON_Delete(tree);
    return 0;
}

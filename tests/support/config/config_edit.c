#include "support/config/config_edit.h"

#include "support/check.h"
#include "support/config/config_text.h"

#include <stdlib.h>
#include <string.h>

bool config_edit_read(const char *path, const struct config_edit edits[CONFIG_EDITS_MAX],
                      struct config *config, struct config_report *report) {
    char *text = config_text_of_file(path);
    cJSON *tree = cJSON_Parse(text);
    free(text);
    for (unsigned i = 0; edits != NULL && i < CONFIG_EDITS_MAX && edits[i].where != NULL; i++) {
        config_text_patch(tree, edits[i].where, edits[i].value);
    }
    char *edited = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(edited, strlen(edited), config, report);
    cJSON_free(edited);
    cJSON_Delete(tree);
    return is_usable;
}

void config_edit_expect(const char *path, const struct config_mistake *mistakes, size_t count,
                        struct config *config, struct config_report *report) {
    for (size_t i = 0; i < count; i++) {
        assert_false(config_edit_read(path, mistakes[i].edits, config, report));
        if (!config_text_has(&report->errors, mistakes[i].where, mistakes[i].words)) {
            config_text_print(&report->errors);
            fail_msg("no \"%s\" at %s", mistakes[i].words, mistakes[i].where);
        }
    }
}

/* config_edit.h: a configuration of a file with a few values put otherwise, and what is said of it.
 */
#ifndef SUPPORT_CONFIG_EDIT_H
#define SUPPORT_CONFIG_EDIT_H

#include "config/config.h"

enum { CONFIG_EDITS_MAX = 4 };

struct config_edit {
    const char *where, *value; /* as of config_text_patch(); `where` NULL: no more */
};

/* One mistake: what is edited, and the complaint that must come of it. */
struct config_mistake {
    struct config_edit edits[CONFIG_EDITS_MAX];
    const char *where, *words;
};

/* Returns whether it is usable. `edits` may be NULL: none. */
bool config_edit_read(const char *path, const struct config_edit edits[CONFIG_EDITS_MAX],
                      struct config *config, struct config_report *report);

/* Fails the test unless each of them is an error, with its words at its place. */
void config_edit_expect(const char *path, const struct config_mistake *mistakes, size_t count,
                        struct config *config, struct config_report *report);

#endif

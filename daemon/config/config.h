/* config.h: the configuration of a daemon, read from a JSON file and checked whole before anything
 * is touched. Every mistake is reported in one run, each with its place. Keys, units and defaults:
 * config/README.md. Nothing is printed, and only config_read_file() touches the world. */
#ifndef CONFIG_CONFIG_H
#define CONFIG_CONFIG_H

#include "config/reader/report.h"
#include "config/settings.h"

#include <stdbool.h>
#include <stddef.h>

/* Each returns whether the configuration is usable: `report` has no errors (it may have warnings).
 * `config` and `report` are written whole. After an error `config` is all zero, and so
 * config->net.bridges is 0, unless all errors are misfits, or of what is missing: then it is as
 * whole as it can be, for those who explain what does not fit and reckon what is known; it must not
 * be run. */
bool config_read_file(const char *path, struct config *config, struct config_report *report);
bool config_read_text(const char *text, size_t length, struct config *config,
                      struct config_report *report);

/* The built-in demo, config/kettle-narrows.json as it was when the program was built. */
bool config_demo(struct config *config, struct config_report *report);
/* The same as text. */
const char *config_demo_text(size_t *length);

#endif

/* tables.h: every object and key of the configuration. What they mean is in their help; what they
 * are read into is struct written_config. */
#ifndef CONFIG_TABLES_H
#define CONFIG_TABLES_H

#include "config/reader/fields.h"

/* The root, read into a struct written_config. */
extern const struct object tables_config;

/* One listener, for the defaults of the one there is when none is given. */
extern const struct object tables_listener;

/* Every object once, the root first, for schema and manual; NULL after the last. */
const struct object *tables_object(size_t index);

#endif

/* record_config.h: a configuration of a quiet bridge that keeps a record. */
#ifndef SUPPORT_RECORD_CONFIG_H
#define SUPPORT_RECORD_CONFIG_H

/* Writes it to `path`: tests/daemon/quiet-bridge.json with a record in `file`. `more`: further keys
 * of the record, each behind a comma. */
void record_config_write(const char *path, const char *file, const char *more);

#endif

/* record.h: the record of this daemon's bridges, as the configuration wants it. */
#ifndef DAEMON_RECORD_H
#define DAEMON_RECORD_H

#include "base/error.h"
#include "config/config.h"
#include "records/recorder.h"

#include <stdint.h>

/* See recorder_new(). The configuration must ask for a record. */
struct recorder *record_open(const struct config *config, const char *version, uint64_t now_us,
                             struct error *error);

#endif

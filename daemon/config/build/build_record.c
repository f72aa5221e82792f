/* What is kept of what happens, and for how long. */
#include "config/build/build.h"

#include <math.h>
#include <string.h>

static uint64_t whole(double value) {
    return isnan(value) ? 0 : (uint64_t)llround(value);
}

void build_record(const struct written_record *written, struct record_setup *record) {
    if (!written->is.is_given) {
        return;
    }
    memcpy(record->file, written->file, sizeof record->file);
    record->keep_us = whole(written->keep_s * 1e6);
    record->most_bytes = whole(written->most_bytes);
    record->write_us = whole(written->write_s * 1e6);
    record->service_openings =
        written->service_openings == FIELD_NO_NUMBER ? 0 : written->service_openings;
    record->service_us = whole(written->service_s * 1e6);
}

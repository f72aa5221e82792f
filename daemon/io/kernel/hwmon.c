#include "io/kernel/hwmon.h"

#include <stdio.h>

bool hwmon_open(struct hwmon *hwmon, const char *device, const char *channel, struct error *error) {
    double value;
    snprintf(hwmon->input, sizeof hwmon->input, "%.40s_input", channel);
    return attribute_find(HWMON_CLASS, device, hwmon->folder, error) &&
           hwmon_read(hwmon, &value, error);
}

bool hwmon_read(const struct hwmon *hwmon, double *value, struct error *error) {
    double thousandths;
    if (!attribute_number(hwmon->folder, hwmon->input, &thousandths, error)) {
        return false;
    }
    *value = thousandths / 1000;
    return true;
}

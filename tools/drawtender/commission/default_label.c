#include "tools/drawtender/commission/default_label.h"

#include "config/settings.h"

#include <stdio.h>

enum { LAST_SIGNAL = 99, LAST_SECTION = 199 };

static const struct {
    enum srcp_group group;
    int32_t address;
    const char *label;
} defaults[NET_DEVICES] = {
#define X(id, group, address, name, help) {SRCP_##group, address, name},
    NET_DEVICE_LIST(X)
#undef X
};

void default_label(enum srcp_group group, int32_t address, char *label, size_t size) {
    for (size_t i = 0; i < sizeof defaults / sizeof defaults[0]; i++) {
        if (defaults[i].group == group && defaults[i].address == address) {
            snprintf(label, size, "%s", defaults[i].label);
            return;
        }
    }
    const char *kind = srcp_group_name(group);
    if (group == SRCP_GA && address >= NET_FIRST_SIGNAL && address <= LAST_SIGNAL) {
        kind = "signal";
    } else if (group == SRCP_FB && address >= NET_FIRST_SECTION && address <= LAST_SECTION) {
        kind = "section";
    }
    snprintf(label, size, "%s %d", kind, (int)address);
}

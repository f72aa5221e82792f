#include "tools/drawtender/commission/default_label.h"

#include <stdio.h>

enum { FIRST_SIGNAL = 11, LAST_SIGNAL = 99, FIRST_SECTION = 101, LAST_SECTION = 199 };

static const struct {
    enum srcp_group group;
    int32_t address;
    const char *label;
} defaults[] = {
    {SRCP_GA, 1, "span"},   {SRCP_GA, 2, "lock"},   {SRCP_GA, 3, "horn"}, {SRCP_GA, 4, "river"},
    {SRCP_FB, 1, "seated"}, {SRCP_FB, 2, "locked"}, {SRCP_FB, 3, "open"}, {SRCP_FB, 4, "moving"},
    {SRCP_FB, 5, "lined"},  {SRCP_FB, 6, "fault"},
};

void default_label(enum srcp_group group, int32_t address, char *label, size_t size) {
    for (size_t i = 0; i < sizeof defaults / sizeof defaults[0]; i++) {
        if (defaults[i].group == group && defaults[i].address == address) {
            snprintf(label, size, "%s", defaults[i].label);
            return;
        }
    }
    const char *kind = srcp_group_name(group);
    if (group == SRCP_GA && address >= FIRST_SIGNAL && address <= LAST_SIGNAL) {
        kind = "signal";
    } else if (group == SRCP_FB && address >= FIRST_SECTION && address <= LAST_SECTION) {
        kind = "section";
    }
    snprintf(label, size, "%s %d", kind, (int)address);
}

#include "panel/context.h"

#include <time.h>

uint64_t context_now_ms(const struct panel_context *context) {
    return context->host.now_us(context->host.context) / 1000;
}

uint64_t context_clock_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_BOOTTIME, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

int context_bridge_on_bus(const struct panel_context *context, double bus) {
    for (unsigned b = 0; b < context->config->net.bridges; b++) {
        if (context->config->net.bridge[b].bus == bus) {
            return (int)b;
        }
    }
    return -1;
}

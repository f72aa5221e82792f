#include "support/io/idle_port.h"

void idle_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    (void)port;
    (void)now_us;
    *inputs = (struct bridge_inputs){0};
}

void idle_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    (void)port;
    (void)now_us;
    (void)outputs;
}

uint32_t idle_wake_us(const void *port) {
    (void)port;
    return UINT32_MAX;
}

bool idle_safe(void *port) {
    (void)port;
    return true;
}

void idle_close(void *port) {
    (void)port;
}

void idle_stepped(void *context, unsigned bridge, const struct bridge_view *before,
                  const struct bridge_view *after, const struct cycle_step *step) {
    (void)context;
    (void)bridge;
    (void)before;
    (void)after;
    (void)step;
}

/* idle_port.h: what a port without a world does, for tests of what is around one; and a listener
 * whom nothing interests. */
#ifndef SUPPORT_IDLE_PORT_H
#define SUPPORT_IDLE_PORT_H

#include "bridge/cycle.h"

void idle_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs);
void idle_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs);
uint32_t idle_wake_us(const void *port); /* never */
bool idle_safe(void *port);              /* always */
void idle_close(void *port);

void idle_stepped(void *context, unsigned bridge, const struct bridge_view *before,
                  const struct bridge_view *after, const struct cycle_step *step);

#endif

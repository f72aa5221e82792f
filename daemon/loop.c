#include "loop.h"

#include <event2/event.h>
#include <sys/time.h>

enum { PRIORITIES = 2, NETWORK_AT_A_STRETCH_US = 100 };

struct event_base *loop_new(void) {
    static const struct timeval stretch = {.tv_usec = NETWORK_AT_A_STRETCH_US};
    struct event_config *config = event_config_new();
    if (config == NULL) {
        return NULL;
    }
    event_config_set_flag(config, EVENT_BASE_FLAG_PRECISE_TIMER);
    event_config_set_max_dispatch_interval(config, &stretch, -1, 1);
    struct event_base *base = event_base_new_with_config(config);
    event_config_free(config);
    if (base != NULL && event_base_priority_init(base, PRIORITIES) != 0) {
        event_base_free(base);
        return NULL;
    }
    return base;
}

#define _GNU_SOURCE /* sched_setaffinity() */
#include "bench/cores.h"

#include "bench/figures.h"

#include <sched.h>

/* What the bench itself was given, before it gave any of it away. */
static const cpu_set_t *given(void) {
    static cpu_set_t all;
    static bool is_known;
    if (!is_known && sched_getaffinity(0, sizeof all, &all) != 0) {
        figures_fail("no processor cores");
    }
    is_known = true;
    return &all;
}

static bool are_shared;

void cores_share(void) {
    are_shared = true;
}

bool cores_can_part(void) {
    return !are_shared && CPU_COUNT(given()) >= 2;
}

static size_t last_of(const cpu_set_t *cores) {
    size_t last = CPU_SETSIZE - 1;
    while (last > 0 && !CPU_ISSET(last, cores)) {
        last--;
    }
    return last;
}

void cores_keep_to(enum cores cores) {
    cpu_set_t wanted = *given();
    size_t last = last_of(given());
    if (!cores_can_part()) {
        return;
    }
    switch (cores) {
    case CORES_ALL:
        break;
    case CORES_SERVER:
        CPU_ZERO(&wanted);
        CPU_SET(last, &wanted);
        break;
    case CORES_LOAD:
        CPU_CLR(last, &wanted);
        break;
    }
    if (sched_setaffinity(0, sizeof wanted, &wanted) != 0) {
        figures_fail("a core was not to be had");
    }
}

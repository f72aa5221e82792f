#include "io/drivers.h"

#include "io/composite.h"
#include "io/link/link.h"
#include "io/nodes/nodes.h"
#include "io/simulated/simulated.h"
#include "io/wired/wired.h"

#include <stddef.h>
#include <string.h>

static const struct port_ops *const drivers[] = {
    &simulated_ops, &composite_ops, &link_ops, &nodes_ops, &wired_ops,
};

const struct port_ops *drivers_find(const char *name) {
    for (size_t i = 0; i < sizeof drivers / sizeof drivers[0]; i++) {
        if (strcmp(drivers[i]->name, name) == 0) {
            return drivers[i];
        }
    }
    return NULL;
}

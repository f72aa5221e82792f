#include "io/port.h"

#include <stddef.h>
#include <string.h>

const void *port_own(const struct port_settings *settings, const char *what) {
    const struct port_own *own = settings->own;
    while (own != NULL && own->what != NULL && strcmp(own->what, what) != 0) {
        own++;
    }
    return own != NULL && own->what != NULL ? own->settings : NULL;
}

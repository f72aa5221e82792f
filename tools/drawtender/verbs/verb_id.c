/* The verbs by number and name. */
#include "tools/drawtender/verbs/verb_id.h"

#include "base/text/near.h"

#include <string.h>

const char *const verb_names[VERBS] = {
#define X(id, function, name) [VERB_##id] = (name),
    VERB_LIST(X)
#undef X
};

enum verb_id verb_id_find(const char *name) {
    unsigned i = 0;
    while (i < VERBS && strcmp(verb_names[i], name) != 0) {
        i++;
    }
    return (enum verb_id)i;
}

const char *verb_id_nearest(const char *name) {
    struct near near = near_begin(name);
    for (unsigned i = 0; i < VERBS; i++) {
        near_offer(&near, verb_names[i]);
    }
    return near.best;
}

uint64_t verb_id_bit(enum verb_id id) {
    return UINT64_C(1) << id;
}

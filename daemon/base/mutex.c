#include "base/mutex.h"

static bool init_inheriting(pthread_mutex_t *mutex) {
    pthread_mutexattr_t attributes;
    if (pthread_mutexattr_init(&attributes) != 0) {
        return false;
    }
    bool is_made = pthread_mutexattr_setprotocol(&attributes, PTHREAD_PRIO_INHERIT) == 0 &&
                   pthread_mutex_init(mutex, &attributes) == 0;
    pthread_mutexattr_destroy(&attributes);
    return is_made;
}

bool mutex_init(pthread_mutex_t *mutex) {
    return init_inheriting(mutex) || pthread_mutex_init(mutex, NULL) == 0;
}

#include "base/thread.h"

#include <signal.h>

const int thread_crash_signals[] = {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL, SIGSYS, SIGTRAP, 0};

bool thread_start(pthread_t *thread, size_t stack_size, void *(*work)(void *context),
                  void *context) {
    sigset_t blocked;
    sigset_t before;
    pthread_attr_t attributes;
    if (pthread_attr_init(&attributes) != 0) {
        return false;
    }
    if (stack_size > 0) {
        pthread_attr_setstacksize(&attributes, stack_size);
    }
    sigfillset(&blocked);
    for (const int *crash = thread_crash_signals; *crash != 0; crash++) {
        sigdelset(&blocked, *crash);
    }
    pthread_sigmask(SIG_SETMASK, &blocked, &before);
    bool has_begun = pthread_create(thread, &attributes, work, context) == 0;
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    pthread_attr_destroy(&attributes);
    return has_begun;
}

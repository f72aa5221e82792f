#include "process/crash.h"

#include "base/invariant.h"
#include "base/say.h"
#include "base/thread.h"
#include "bridge/cycle.h"

#include <pthread.h>
#include <signal.h>
#include <stddef.h>
#include <unistd.h>

static struct {
    struct cycle *const *cycle;
    unsigned bridges;
    pthread_t thread; /* the loop's */
} guarded;

static volatile sig_atomic_t has_crashed;
/* The crash may be that of a stack that is full. */
static char stack[64 * 1024];

static void on_crash(int number) {
    if (!pthread_equal(pthread_self(), guarded.thread)) {
        /* The loop must not go on meanwhile, and drive again what was just made safe: let it crash
         * itself. */
        pthread_kill(guarded.thread, number);
        for (;;) {
            pause();
        }
    }
    if (!has_crashed) { /* once: what comes next may be a crash of this handler */
        has_crashed = 1;
        for (unsigned i = 0; i < guarded.bridges; i++) {
            if (guarded.cycle[i] != NULL) {
                cycle_crash_safe(guarded.cycle[i]);
            }
        }
        /* Only then: standard error may be stalled. */
        say("CRASHED: outputs set to safe as far as a crashing program can\n");
        say(invariant_words() != NULL ? invariant_words() : "");
    }
    signal(number, SIG_DFL);
    raise(number); /* waits until the handler returns; core file and exit status as ever */
}

static void set_all(void (*handler)(int number)) {
    struct sigaction action = {.sa_handler = handler, .sa_flags = SA_ONSTACK};
    sigemptyset(&action.sa_mask);
    for (const int *number = thread_crash_signals; *number != 0; number++) {
        sigaction(*number, &action, NULL);
    }
}

void crash_guard(struct cycle *const cycle[], unsigned bridges) {
    const stack_t own = {.ss_sp = stack, .ss_size = sizeof stack};
    guarded.cycle = cycle;
    guarded.bridges = bridges;
    guarded.thread = pthread_self();
    sigaltstack(&own, NULL);
    set_all(on_crash);
}

void crash_unguard(void) {
    set_all(SIG_DFL);
    guarded.bridges = 0;
}

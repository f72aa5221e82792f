#include "base/invariant.h"

#include "base/say.h"

#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char words[256];
static atomic_flag is_taken = ATOMIC_FLAG_INIT; /* by the first thread that breaks one */
static atomic_bool is_written;

const char *invariant_words(void) {
    return atomic_load(&is_written) ? words : NULL;
}

/* Then a handler says it, once the outputs are safe. */
static bool is_crash_guarded(void) {
    struct sigaction action;
    return sigaction(SIGABRT, NULL, &action) == 0 && action.sa_handler != SIG_DFL;
}

_Noreturn void invariant_broken(const char *file, int line, const char *condition) {
    const char *name = strrchr(file, '/');
    if (!atomic_flag_test_and_set(&is_taken)) {
        snprintf(words, sizeof words, "BROKEN INVARIANT: %s:%d: %s\n",
                 name != NULL ? name + 1 : file, line, condition);
        atomic_store(&is_written, true);
        if (!is_crash_guarded()) {
            say(words);
        }
    }
    abort();
}

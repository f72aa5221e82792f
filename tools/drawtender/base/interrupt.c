#include "tools/drawtender/base/interrupt.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <unistd.h>

enum { SIGNALS = 3 };

static const int caught[SIGNALS] = {SIGINT, SIGTERM, SIGHUP};
static int pipe_ends[2] = {-1, -1};
static struct sigaction old[SIGNALS];

static void on_signal(int number) {
    (void)number;
    int saved = errno;
    /* The pipe never fills: SA_RESETHAND lets one of each through. */
    ssize_t written = write(pipe_ends[1], "!", 1);
    (void)written;
    errno = saved;
}

int interrupt_catch(void) {
    if (pipe(pipe_ends) != 0) {
        return -1;
    }
    fcntl(pipe_ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(pipe_ends[1], F_SETFD, FD_CLOEXEC);
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = (int)SA_RESETHAND};
    sigemptyset(&action.sa_mask);
    for (int i = 0; i < SIGNALS; i++) {
        sigaction(caught[i], NULL, &old[i]);
        bool is_for_others = caught[i] == SIGHUP && old[i].sa_handler == SIG_IGN; /* nohup */
        if (!is_for_others) {
            sigaction(caught[i], &action, NULL);
        }
    }
    return pipe_ends[0];
}

void interrupt_release(void) {
    if (pipe_ends[0] < 0) {
        return;
    }
    for (int i = 0; i < SIGNALS; i++) {
        sigaction(caught[i], &old[i], NULL);
    }
    close(pipe_ends[0]);
    close(pipe_ends[1]);
    pipe_ends[0] = pipe_ends[1] = -1;
}

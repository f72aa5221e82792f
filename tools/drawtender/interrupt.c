#include "tools/drawtender/interrupt.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stddef.h>
#include <unistd.h>

static int pipe_ends[2] = {-1, -1};
static struct sigaction old_int;
static struct sigaction old_term;

static void on_signal(int number) {
    (void)number;
    int saved = errno;
    /* The pipe never fills: SA_RESETHAND lets at most two signals through. */
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
    sigaction(SIGINT, &action, &old_int);
    sigaction(SIGTERM, &action, &old_term);
    return pipe_ends[0];
}

void interrupt_release(void) {
    if (pipe_ends[0] < 0) {
        return;
    }
    sigaction(SIGINT, &old_int, NULL);
    sigaction(SIGTERM, &old_term, NULL);
    close(pipe_ends[0]);
    close(pipe_ends[1]);
    pipe_ends[0] = pipe_ends[1] = -1;
}

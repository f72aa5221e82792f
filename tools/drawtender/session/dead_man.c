#include "tools/drawtender/session/dead_man.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stddef.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

enum { HANDLE = 3 }; /* in the other process, behind the standard ones */

static void leave_the_terminal(void) {
    static const int numbers[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP, SIGPIPE};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        signal(numbers[i], SIG_IGN);
    }
    setsid();
}

/* A byte releases; without one the other end went with its process. */
static bool is_released(int handle) {
    char byte;
    ssize_t got;
    do {
        got = recv(handle, &byte, 1, 0);
    } while (got < 0 && errno == EINTR);
    return got == 1;
}

static void watch_on(int handle, void (*act)(void *context), void *context) {
    leave_the_terminal();
    /* Sessions with the server must end when the first process closes them. */
    if (dup2(handle, HANDLE) < 0) {
        return;
    }
    closefrom(HANDLE + 1);
    if (!is_released(HANDLE)) {
        act(context);
    }
}

bool dead_man_begin(struct dead_man *man, void (*act)(void *context), void *context) {
    int ends[2];
    *man = (struct dead_man){.handle = -1, .other = -1};
    if (socketpair(AF_UNIX, SOCK_STREAM, 0, ends) != 0) {
        return false;
    }
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    man->other = fork();
    if (man->other == 0) {
        close(ends[1]);
        watch_on(ends[0], act, context);
        _exit(0);
    }
    close(ends[0]);
    if (man->other < 0) {
        close(ends[1]);
        return false;
    }
    man->handle = ends[1];
    return true;
}

void dead_man_release(struct dead_man *man) {
    if (man->handle < 0) {
        return;
    }
    send(man->handle, "!", 1, MSG_NOSIGNAL); /* if the other one is gone, so be it */
    close(man->handle);
    man->handle = -1;
    waitpid(man->other, NULL, 0);
}

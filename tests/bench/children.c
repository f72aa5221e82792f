#include "bench/children.h"

#include "bench/figures.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

struct child child_start(void (*work)(void *context), void *context) {
    pid_t parent = getpid();
    pid_t pid = fork();
    if (pid < 0) {
        figures_fail("no process to be had");
    }
    if (pid == 0) {
        prctl(PR_SET_PDEATHSIG, SIGKILL);
        if (getppid() == parent) {
            work(context);
        }
        _exit(1);
    }
    return (struct child){.pid = pid};
}

struct server_work {
    void (*work)(void *context, int report);
    void *context;
    int report[2];
};

static void serve(void *context) {
    struct server_work *server = context;
    close(server->report[0]);
    server->work(server->context, server->report[1]);
}

/* Of the first line that tells it. */
static unsigned read_port(int report) {
    FILE *says = fdopen(report, "r");
    char line[512];
    unsigned port = 0;
    while (port == 0 && fgets(line, sizeof line, says) != NULL) {
        const char *at = strstr(line, "port ");
        if (at == NULL || sscanf(at, "port %u\n", &port) != 1) {
            port = 0;
        }
    }
    if (port == 0) {
        figures_fail("a server did not start");
    }
    return port; /* the stream stays open: the server may go on logging */
}

struct child child_serve(void (*work)(void *context, int report), void *context) {
    struct server_work server = {.work = work, .context = context};
    if (pipe(server.report) != 0) {
        figures_fail("no pipe to be had");
    }
    struct child child = child_start(serve, &server);
    close(server.report[1]);
    child.port = read_port(server.report[0]);
    return child;
}

void child_end(struct child child) {
    if (waitpid(child.pid, NULL, WNOHANG) != 0) {
        figures_fail("a process ended before its time: what was measured meanwhile means nothing");
    }
    kill(child.pid, SIGKILL);
    waitpid(child.pid, NULL, 0);
}

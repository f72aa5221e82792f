#include "tools/drawtender/describe/daemon_beside.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

static const char program[] = "drawtenderd";

enum { LINE_SIZE = 512 };

/* In the folder of this very program; else wherever the shell would look. */
static void find(char path[PATH_MAX]) {
    ssize_t length = readlink("/proc/self/exe", path, PATH_MAX - sizeof program);
    char *slash;
    if (length > 0) {
        path[length] = '\0';
        slash = strrchr(path, '/');
        memcpy(slash != NULL ? slash + 1 : path, program, sizeof program);
    }
    if (length <= 0 || access(path, X_OK) != 0) {
        memcpy(path, program, sizeof program);
    }
}

/* Runs it with `taken` (1 or 2: its output or its log) as a stream; NULL: it could not be started.
 */
static FILE *start(char *const arguments[], int taken, pid_t *pid, struct error *error) {
    char path[PATH_MAX];
    int ends[2];
    find(path);
    if (pipe(ends) != 0) {
        error_set(error, "", "%s", strerror(errno));
        return NULL;
    }
    *pid = fork();
    if (*pid == 0) {
        prctl(PR_SET_PDEATHSIG, SIGTERM); /* not to outlive a tool that is killed */
        int nowhere = open("/dev/null", O_RDWR);
        dup2(nowhere, STDIN_FILENO);
        dup2(nowhere, STDERR_FILENO);
        dup2(ends[1], taken);
        closefrom(3);
        execvp(path, arguments);
        _exit(127);
    }
    close(ends[1]);
    FILE *stream = *pid > 0 ? fdopen(ends[0], "r") : NULL;
    if (stream == NULL) {
        close(ends[0]);
        error_set(error, "", "%s could not be started", program);
    }
    return stream;
}

static int await(pid_t pid) {
    int status = 0;
    while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

bool daemon_beside_wiring(const char *config, FILE *out, struct error *error) {
    char *const arguments[] = {(char *)program, "--config", (char *)config, "--wiring", NULL};
    char line[LINE_SIZE];
    pid_t pid;
    fflush(out);
    FILE *stream = start(arguments, STDOUT_FILENO, &pid, error);
    if (stream == NULL) {
        return false;
    }
    while (fgets(line, sizeof line, stream) != NULL) {
        fputs(line, out);
    }
    fclose(stream);
    int status = await(pid);
    return status == 0 || error_set(error, "", "%s --wiring ended with %d", program, status);
}

/* The log's line says where. Returns 0 if it ends without. */
static uint16_t read_port(FILE *log) {
    char line[LINE_SIZE];
    unsigned port = 0;
    while (port == 0 && fgets(line, sizeof line, log) != NULL) {
        const char *words = strstr(line, "listening on 127.0.0.1 port ");
        if (words != NULL && sscanf(words, "listening on 127.0.0.1 port %u", &port) != 1) {
            port = 0;
        }
    }
    return (uint16_t)port;
}

bool daemon_beside_start(struct daemon_beside *daemon, const char *config, const char *pace,
                         struct error *error) {
    char *const arguments[] = {(char *)program, "--config", (char *)config, "--port", "0", "--pace",
                               (char *)pace,    NULL};
    daemon->log = start(arguments, STDERR_FILENO, &daemon->pid, error);
    if (daemon->log == NULL) {
        return false;
    }
    daemon->port = read_port(daemon->log);
    if (daemon->port == 0) {
        daemon_beside_end(daemon);
        return error_set(error, "", "%s does not start on it", program);
    }
    return true;
}

void daemon_beside_end(struct daemon_beside *daemon) {
    if (daemon->pid > 0) {
        kill(daemon->pid, SIGTERM);
        fclose(daemon->log);
        await(daemon->pid);
        daemon->pid = 0;
    }
}

#include "io/kernel/claim.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

int claim(const char *file, int flags, struct error *error) {
    int fd = open(file, flags | O_CLOEXEC);
    if (fd >= 0 && flock(fd, LOCK_EX | LOCK_NB) == 0) {
        return fd;
    }
    error_set(error, file, "%s",
              errno == EWOULDBLOCK ? "in use by another program" : strerror(errno));
    if (fd >= 0) {
        close(fd);
    }
    return -1;
}

#include "io/claim.h"

#include <errno.h>
#include <string.h>
#include <sys/file.h>

bool claim(int fd, const char *where, struct error *error) {
    if (flock(fd, LOCK_EX | LOCK_NB) == 0) {
        return true;
    }
    return error_set(error, where, "%s",
                     errno == EWOULDBLOCK ? "in use: another program drives it" : strerror(errno));
}

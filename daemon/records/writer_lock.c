#include "records/writer_lock.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Several links may lead to one record, and SQLite follows them as well. Never the record itself:
 * to close it would take SQLite's own locks away from it (sqlite.org/howtocorrupt.html, from
 * memory). False: too long. */
static bool name_lock(const char *file, char name[PATH_MAX]) {
    char *real = realpath(file, NULL); /* NULL: it is not there yet */
    int length = snprintf(name, PATH_MAX, "%s-lock", real != NULL ? real : file);
    free(real);
    return length > 0 && length < PATH_MAX;
}

/* A lock of fcntl(2): of all kinds the one whose holder the kernel names. */
static struct flock whole_file(void) {
    return (struct flock){.l_type = F_WRLCK, .l_whence = SEEK_SET};
}

static void name_holder(int lock, const char *file, struct error *error) {
    struct flock holder = whole_file();
    bool is_known = fcntl(lock, F_GETLK, &holder) == 0 && holder.l_type != F_UNLCK &&
                    holder.l_pid > 0; /* 0: it lives in another PID namespace */
    char number[32] = "another process";
    if (is_known) {
        snprintf(number, sizeof number, "process %d", (int)holder.l_pid);
    }
    error_set(error, file, "%s is writing this record; a second daemon needs its own", number);
}

int writer_lock_take(const char *file, bool *is_held, struct error *error) {
    char name[PATH_MAX];
    *is_held = false;
    struct stat there;
    if (stat(file, &there) == 0 && !S_ISREG(there.st_mode)) {
        error_set(error, file, "not a regular file");
        return WRITER_LOCK_NONE;
    }
    if (!name_lock(file, name)) {
        error_set(error, file, "the path is too long");
        return WRITER_LOCK_NONE;
    }
    int lock = open(name, O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    struct flock wanted = whole_file();
    if (lock >= 0 && fcntl(lock, F_SETLK, &wanted) == 0) {
        return lock;
    }
    *is_held = lock >= 0 && (errno == EAGAIN || errno == EACCES);
    if (*is_held) {
        name_holder(lock, file, error);
    } else {
        error_set(error, file, "its lock, %s: %s", name, strerror(errno));
    }
    writer_lock_release(lock);
    return WRITER_LOCK_NONE;
}

void writer_lock_release(int lock) {
    if (lock >= 0) {
        close(lock);
    }
}

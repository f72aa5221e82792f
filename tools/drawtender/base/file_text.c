#include "tools/drawtender/base/file_text.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

char *file_text_read(const char *path, struct error *error) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        error_set(error, path, "%s", strerror(errno));
        return NULL;
    }
    char *text = malloc(FILE_TEXT_MAX + 1);
    size_t length = text != NULL ? fread(text, 1, FILE_TEXT_MAX + 1, file) : 0;
    int fault = ferror(file) ? errno : 0;
    bool is_sound = text != NULL && fault == 0 && length <= FILE_TEXT_MAX;
    fclose(file);
    if (fault != 0) { /* a directory, say */
        error_set(error, path, "%s", strerror(fault));
        free(text);
        return NULL;
    }
    if (!is_sound || memchr(text, '\0', length) != NULL) {
        error_set(error, path, "not a text of at most %d bytes", FILE_TEXT_MAX);
        free(text);
        return NULL;
    }
    text[length] = '\0';
    char *cut = realloc(text, length + 1);
    return cut != NULL ? cut : text;
}

static bool write_all(int fd, const char *text) {
    size_t left = strlen(text);
    while (left > 0) {
        ssize_t written = write(fd, text, left);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            return false;
        }
        text += written;
        left -= (size_t)written;
    }
    return true;
}

/* To whom it belongs may not be ours to give; who may read it is. */
static bool keep_mode(const char *path, int fd) {
    struct stat old;
    if (stat(path, &old) != 0) {
        mode_t mask = umask(0);
        umask(mask);
        return errno == ENOENT && fchmod(fd, 0644 & ~mask) == 0;
    }
    int given = fchown(fd, old.st_uid, old.st_gid);
    (void)given;
    return fchmod(fd, old.st_mode & 07777) == 0;
}

static bool replace(const char *path, const char *text, struct error *error) {
    char beside[PATH_MAX];
    if (snprintf(beside, sizeof beside, "%s.XXXXXX", path) >= (int)sizeof beside) {
        return error_set(error, path, "the name is too long");
    }
    int fd = mkstemp(beside);
    if (fd < 0) {
        return error_set(error, beside, "%s", strerror(errno));
    }
    bool is_written = keep_mode(path, fd) && write_all(fd, text) && fsync(fd) == 0;
    is_written = close(fd) == 0 && is_written;
    if (!is_written || rename(beside, path) != 0) {
        error_set(error, path, "cannot be written: %s", strerror(errno));
        unlink(beside);
        return false;
    }
    return true;
}

bool file_text_replace(const char *path, const char *text, struct error *error) {
    char *real = realpath(path, NULL); /* NULL: not there yet */
    bool is_done = replace(real != NULL ? real : path, text, error);
    free(real);
    return is_done;
}

bool file_text_is_same(const char *one, const char *other) {
    struct stat first;
    struct stat second;
    return strcmp(one, other) == 0 ||
           (stat(one, &first) == 0 && stat(other, &second) == 0 && first.st_dev == second.st_dev &&
            first.st_ino == second.st_ino);
}

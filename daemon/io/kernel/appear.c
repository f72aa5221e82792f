#include "io/kernel/appear.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/inotify.h>
#include <unistd.h>

/* Watching what is watched already changes nothing. Returns whether it is. */
static bool watch_folder_of(int fd, const char *path) {
    char folder[256];
    const char *end = strrchr(path, '/');
    if (end == NULL || (size_t)(end - path) >= sizeof folder) {
        return false;
    }
    snprintf(folder, sizeof folder, "%.*s", end == path ? 1 : (int)(end - path), path);
    /* A device is made first, and given to its group later: IN_ATTRIB. */
    return inotify_add_watch(fd, folder, IN_CREATE | IN_MOVED_TO | IN_ATTRIB) >= 0 ||
           (end != path && watch_folder_of(fd, folder));
}

int appear_open(const char *path) {
    int fd = inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
    if (fd >= 0 && !watch_folder_of(fd, path)) {
        close(fd);
        return -1;
    }
    return fd;
}

void appear_take(int fd, const char *path) {
    char events[4096] __attribute__((aligned(__alignof__(struct inotify_event))));
    while (read(fd, events, sizeof events) > 0) {
        ;
    }
    watch_folder_of(fd, path);
}

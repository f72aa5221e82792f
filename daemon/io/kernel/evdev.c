#include "io/kernel/evdev.h"

#include "io/kernel/appear.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <libevdev/libevdev.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define INPUT_FOLDER "/dev/input"

struct device {
    int fd;
    struct libevdev *evdev;
    bool is_behind; /* events were dropped: what they changed is told first */
};

static void close_device(void *port) {
    struct device *device = port;
    libevdev_free(device->evdev); /* a grab ends with the descriptor */
    if (device->fd >= 0) {
        close(device->fd);
    }
    free(device);
}

/* Returns NULL and fills the error, if any. */
static struct device *open_path(const char *path, struct error *error) {
    struct device *device = calloc(1, sizeof *device);
    if (device == NULL) {
        error_set(error, path, "%s", strerror(ENOMEM));
        return NULL;
    }
    device->fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    int result = device->fd < 0 ? -errno : libevdev_new_from_fd(device->fd, &device->evdev);
    if (result < 0) {
        error_set(error, path, "%s",
                  result == -ENOTTY ? "is not an input device" : strerror(-result));
        close_device(device);
        return NULL;
    }
    return device;
}

/* Those that may not be opened have no name: they are passed over. */
static bool has_name(const char *path, const char *name) {
    struct device *device = open_path(path, NULL);
    bool is_called_so = device != NULL && strcmp(libevdev_get_name(device->evdev), name) == 0;
    if (device != NULL) {
        close_device(device);
    }
    return is_called_so;
}

static bool find_named(const char *name, char *path, size_t size, struct error *error) {
    DIR *folder = opendir(INPUT_FOLDER);
    struct dirent *entry;
    unsigned found = 0;
    while (folder != NULL && (entry = readdir(folder)) != NULL) {
        char candidate[sizeof INPUT_FOLDER + sizeof entry->d_name + 1];
        snprintf(candidate, sizeof candidate, INPUT_FOLDER "/%s", entry->d_name);
        if (strncmp(entry->d_name, "event", 5) == 0 && has_name(candidate, name)) {
            snprintf(path, size, "%s", candidate);
            found++;
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
    return found == 1 || error_set(error, name,
                                   found == 0 ? "no input device has this name"
                                              : "several input devices have this name");
}

static void *open_device(const char *name, bool is_shared, struct error *error) {
    char path[sizeof INPUT_FOLDER + 258];
    bool is_path = name[0] == '/';
    if (!is_path && !find_named(name, path, sizeof path, error)) {
        return NULL;
    }
    struct device *device = open_path(is_path ? name : path, error);
    if (device != NULL && !is_shared && libevdev_grab(device->evdev, LIBEVDEV_GRAB) != 0) {
        error_set(error, name, "in use by another program");
        close_device(device);
        return NULL;
    }
    return device;
}

static int device_fd(void *port) {
    return ((struct device *)port)->fd;
}

/* Returns 1 with an event, 0 with nothing to tell yet, -EAGAIN: none waits, or another error. */
static int next(struct device *device, struct evdev_event *event) {
    struct input_event raw;
    unsigned flag = device->is_behind ? LIBEVDEV_READ_FLAG_SYNC : LIBEVDEV_READ_FLAG_NORMAL;
    int result = libevdev_next_event(device->evdev, flag, &raw);
    if (device->is_behind && result == -EAGAIN) {
        device->is_behind = false;
        return 0;
    }
    if (!device->is_behind && result == LIBEVDEV_READ_STATUS_SYNC) {
        device->is_behind = true;
        return 0;
    }
    *event = (struct evdev_event){raw.type, raw.code, raw.value};
    return result < 0 ? result : 1;
}

static int take(void *port, struct evdev_event event[], int most) {
    int taken = 0;
    while (taken < most) {
        int result = next(port, &event[taken]);
        if (result == -EAGAIN) {
            break;
        }
        if (result < 0) {
            return -1;
        }
        taken += result;
    }
    return taken;
}

static bool has(void *port, unsigned type, unsigned code) {
    return libevdev_has_event_code(((struct device *)port)->evdev, type, code) != 0;
}

static int value(void *port, unsigned type, unsigned code) {
    return libevdev_get_event_value(((struct device *)port)->evdev, type, code);
}

static void range(void *port, unsigned code, int *least, int *most) {
    *least = libevdev_get_abs_minimum(((struct device *)port)->evdev, code);
    *most = libevdev_get_abs_maximum(((struct device *)port)->evdev, code);
}

static const char *watched(const char *device) {
    return device[0] == '/' ? device : INPUT_FOLDER "/event";
}

static int watch(const char *device) {
    return appear_open(watched(device));
}

static void take_watch(int fd, const char *device) {
    appear_take(fd, watched(device));
}

const struct evdev_ops evdev_kernel = {
    .open = open_device,
    .fd = device_fd,
    .take = take,
    .has = has,
    .value = value,
    .range = range,
    .close = close_device,
    .watch = watch,
    .take_watch = take_watch,
};

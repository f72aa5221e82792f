#include "io/kernel/attribute.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct path {
    char text[2 * ATTRIBUTE_PATH_SIZE];
};

static struct path path_of(const char *folder, const char *name) {
    struct path path;
    snprintf(path.text, sizeof path.text, "%s/%s", folder, name);
    return path;
}

static bool complain(const char *where, int number, struct error *error) {
    return error_set(error, where, "%s", strerror(number));
}

bool attribute_text(const char *folder, const char *name, char *text, size_t size,
                    struct error *error) {
    struct path path = path_of(folder, name);
    int fd = open(path.text, O_RDONLY | O_CLOEXEC);
    if (fd < 0) {
        return complain(path.text, errno, error);
    }
    ssize_t length = read(fd, text, size);
    int number = errno;
    close(fd);
    if (length < 0) {
        return complain(path.text, number, error);
    }
    if (length == 0 || (size_t)length == size) {
        return error_set(error, path.text, length == 0 ? "is empty" : "is longer than expected");
    }
    text[length] = '\0';
    text[strcspn(text, "\n")] = '\0';
    return true;
}

bool attribute_number(const char *folder, const char *name, double *number, struct error *error) {
    char text[64];
    if (!attribute_text(folder, name, text, sizeof text, error)) {
        return false;
    }
    char *end;
    double value = strtod(text, &end);
    if (end == text || *end != '\0' || !isfinite(value)) {
        return error_set(error, path_of(folder, name).text, "found \"%s\", wanted a number", text);
    }
    *number = value;
    return true;
}

bool attribute_put(const char *folder, const char *name, const char *text, struct error *error) {
    struct path path = path_of(folder, name);
    int fd = open(path.text, O_WRONLY | O_TRUNC | O_CLOEXEC);
    if (fd < 0) {
        return complain(path.text, errno, error);
    }
    ssize_t written = write(fd, text, strlen(text));
    int number = written < 0 ? errno : EIO;
    close(fd);
    return written == (ssize_t)strlen(text) || complain(path.text, number, error);
}

bool attribute_put_count(const char *folder, const char *name, uint64_t count,
                         struct error *error) {
    char text[24];
    snprintf(text, sizeof text, "%llu", (unsigned long long)count);
    return attribute_put(folder, name, text, error);
}

bool attribute_is_there(const char *folder, const char *name) {
    return access(path_of(folder, name).text, F_OK) == 0;
}

static bool is_called(const char *folder, const char *device) {
    char name[64];
    return attribute_text(folder, "name", name, sizeof name, NULL) && strcmp(name, device) == 0;
}

/* How many are so called; the last of them into `folder`. */
static unsigned search(DIR *directory, const char *class_folder, const char *device,
                       char folder[ATTRIBUTE_PATH_SIZE]) {
    unsigned found = 0;
    struct dirent *entry;
    while ((entry = readdir(directory)) != NULL) {
        struct path path = path_of(class_folder, entry->d_name);
        if (entry->d_name[0] != '.' && strlen(path.text) < ATTRIBUTE_PATH_SIZE &&
            is_called(path.text, device)) {
            snprintf(folder, ATTRIBUTE_PATH_SIZE, "%.*s", ATTRIBUTE_PATH_SIZE - 1, path.text);
            found++;
        }
    }
    return found;
}

bool attribute_find(const char *class_folder, const char *device, char folder[ATTRIBUTE_PATH_SIZE],
                    struct error *error) {
    if (strchr(device, '/') != NULL) {
        snprintf(folder, ATTRIBUTE_PATH_SIZE, "%s", device);
        return access(folder, F_OK) == 0 || complain(folder, errno, error);
    }
    DIR *directory = opendir(class_folder);
    if (directory == NULL) {
        return complain(class_folder, errno, error);
    }
    unsigned found = search(directory, class_folder, device, folder);
    closedir(directory);
    if (found != 1) {
        return error_set(error, class_folder,
                         found == 0 ? "no device is called \"%s\""
                                    : "several devices are called \"%s\": give the folder",
                         device);
    }
    return true;
}

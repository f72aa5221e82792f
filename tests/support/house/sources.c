#include "support/house/sources.h"

#include "support/check.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

enum { PATH_SIZE = 1024 };

bool sources_is_c(const char *path) {
    const char *dot = strrchr(path, '.');
    return dot != NULL && (strcmp(dot, ".c") == 0 || strcmp(dot, ".h") == 0);
}

static DIR *open_folder(const char *folder) {
    char path[PATH_SIZE];
    snprintf(path, sizeof path, SOURCE_DIR "/%s", folder);
    DIR *directory = opendir(path);
    if (directory == NULL) {
        fail_msg("%s cannot be read", path);
    }
    return directory;
}

void sources_walk(const char *folder, const struct sources_visitor *visitor) {
    unsigned files = 0;
    DIR *directory = open_folder(folder);
    struct dirent *entry;
    while ((entry = readdir(directory)) != NULL) {
        char path[PATH_SIZE];
        if (entry->d_name[0] == '.') {
            continue;
        }
        snprintf(path, sizeof path, "%s%s%s", folder, folder[0] != '\0' ? "/" : "", entry->d_name);
        if (entry->d_type == DT_DIR) {
            sources_walk(path, visitor);
            continue;
        }
        files++;
        if (visitor->file != NULL) {
            visitor->file(visitor->context, path);
        }
    }
    closedir(directory);
    if (visitor->folder != NULL) {
        visitor->folder(visitor->context, folder, files);
    }
}

void sources_lines(const char *path, void (*see)(void *context, const char *path, const char *line),
                   void *context) {
    char whole[PATH_SIZE];
    char line[1024];
    snprintf(whole, sizeof whole, SOURCE_DIR "/%s", path);
    FILE *file = fopen(whole, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file) != NULL) {
        see(context, path, line);
    }
    fclose(file);
}

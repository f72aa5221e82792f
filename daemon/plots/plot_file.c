#include "plots/plot_file.h"

#include <ctype.h>
#include <errno.h>
#include <string.h>
#include <unistd.h>

enum { NAME_SIZE = 64, PATH_SIZE = 512 };

static void name_file(const char *folder, const char *bridge, const char *what, char *path) {
    char name[NAME_SIZE];
    snprintf(name, sizeof name, "%s", bridge);
    for (char *at = name; *at != '\0'; at++) {
        bool is_plain = isascii((unsigned char)*at) && isalnum((unsigned char)*at);
        *at = (char)(is_plain ? tolower((unsigned char)*at) : '-');
    }
    snprintf(path, PATH_SIZE, "%s/%s-%s.svg", folder, name, what);
}

bool plot_file_write(const char *folder, const char *bridge, const char *what, plot_file_draw *draw,
                     const void *context, struct error *error) {
    char path[PATH_SIZE];
    name_file(folder, bridge, what, path);
    errno = 0;
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        return error_set(error, path, "%.120s: %s", path, strerror(errno));
    }
    bool is_drawn = draw(file, context, error);
    bool is_written = ferror(file) == 0;
    is_written = fclose(file) == 0 && is_written;
    if (!is_written) {
        error_set(error, path, "%.120s: cannot be written completely: %s", path, strerror(errno));
    }
    if (!is_drawn || !is_written) {
        unlink(path); /* half a drawing is useless */
    }
    return is_drawn && is_written;
}

#define _XOPEN_SOURCE 700 /* nftw() */
#include "support/daemon/tree.h"

#include "support/check.h"

#include <fcntl.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/inotify.h>
#include <sys/stat.h>
#include <unistd.h>

struct path {
    char text[512];
};

static struct path path_of(const struct tree *tree, const char *name) {
    struct path path;
    snprintf(path.text, sizeof path.text, "%s/%s", tree->root, name);
    return path;
}

void tree_make(struct tree *tree) {
    snprintf(tree->root, sizeof tree->root, "/tmp/drawtender-tree-XXXXXX");
    assert_non_null(mkdtemp(tree->root));
    tree->watch = -1;
}

static int drop(const char *path, const struct stat *what, int kind, struct FTW *place) {
    (void)what;
    (void)kind;
    (void)place;
    return remove(path);
}

void tree_remove(struct tree *tree) {
    if (tree->watch >= 0) {
        close(tree->watch);
    }
    nftw(tree->root, drop, 8, FTW_DEPTH | FTW_PHYS);
}

void tree_put(const struct tree *tree, const char *name, const char *text) {
    struct path path = path_of(tree, name);
    for (char *slash = strchr(path.text + strlen(tree->root) + 1, '/'); slash != NULL;
         slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path.text, 0755);
        *slash = '/';
    }
    FILE *file = fopen(path.text, "w");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

void tree_drop(const struct tree *tree, const char *name) {
    assert_int_equal(remove(path_of(tree, name).text), 0);
}

void tree_get(const struct tree *tree, const char *name, char *text, size_t size) {
    FILE *file = fopen(path_of(tree, name).text, "r");
    assert_non_null(file);
    text[fread(text, 1, size - 1, file)] = '\0';
    fclose(file);
}

void tree_expect(const struct tree *tree, const char *name, const char *text) {
    char found[256];
    tree_get(tree, name, found, sizeof found);
    assert_string_equal(found, text);
}

void tree_watch(struct tree *tree, const char *folder) {
    tree->watch = inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
    assert_true(tree->watch >= 0);
    assert_true(inotify_add_watch(tree->watch, path_of(tree, folder).text, IN_CLOSE_WRITE) >= 0);
}

void tree_written(struct tree *tree, char *names, size_t size) {
    _Alignas(struct inotify_event) char buffer[4096];
    size_t filled = 0;
    names[0] = '\0';
    ssize_t length = read(tree->watch, buffer, sizeof buffer);
    for (ssize_t at = 0; at < length;) {
        const struct inotify_event *event = (const void *)(buffer + at);
        int more = snprintf(names + filled, size - filled, "%s ", event->name);
        assert_true(more > 0 && filled + (size_t)more < size);
        filled += (size_t)more;
        at += (ssize_t)(sizeof *event + event->len);
    }
}

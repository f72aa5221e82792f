/* tree.h: a folder of small files for a test, as the kernel shows devices in sysfs. */
#ifndef SUPPORT_TREE_H
#define SUPPORT_TREE_H

#include <stddef.h>

struct tree {
    char root[64];
    int watch; /* of tree_watch(); -1: none */
};

void tree_make(struct tree *tree);
/* Removes it and everything in it. */
void tree_remove(struct tree *tree);

/* "folder/file" with this text; folders are made as needed. */
void tree_put(const struct tree *tree, const char *name, const char *text);
void tree_drop(const struct tree *tree, const char *name);
void tree_get(const struct tree *tree, const char *name, char *text, size_t size);
void tree_expect(const struct tree *tree, const char *name, const char *text);

/* From now on, which files of this folder are written is kept in order. */
void tree_watch(struct tree *tree, const char *folder);
/* Their names since, each followed by a space. */
void tree_written(struct tree *tree, char *names, size_t size);

#endif

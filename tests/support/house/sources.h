/* sources.h: a walk through the folders of this house, for the tests of its rules. */
#ifndef SUPPORT_SOURCES_H
#define SUPPORT_SOURCES_H

#include <stdbool.h>

struct sources_visitor {
    void *context;
    /* Paths are relative to the top of the house. Each may be NULL. */
    void (*file)(void *context, const char *path);
    void (*folder)(void *context, const char *path, unsigned files);
};

/* Visits every file and folder below `folder`, hidden ones left out. Fails the test if `folder`
 * cannot be read. */
void sources_walk(const char *folder, const struct sources_visitor *visitor);

/* Returns whether this is C: "name.c" or "name.h". */
bool sources_is_c(const char *path);

/* Calls `see` for every line of the file. */
void sources_lines(const char *path, void (*see)(void *context, const char *path, const char *line),
                   void *context);

#endif

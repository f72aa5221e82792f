/* appear.h: a sign that a device file may have come, or may now be opened: inotify(7) on its
 * folder, so that nobody has to look again and again. */
#ifndef IO_APPEAR_H
#define IO_APPEAR_H

/* Returns a descriptor that becomes readable when something comes to the folder of this path, or to
 * the one above where that is missing, or is given away; -1: the system has none. To be closed by
 * the caller. */
int appear_open(const char *path);

/* Takes in what has come, and watches a folder that came with it. */
void appear_take(int fd, const char *path);

#endif

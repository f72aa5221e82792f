/* broken.h: whether a mistake of our own ends the program (base/invariant.h). */
#ifndef SUPPORT_BROKEN_H
#define SUPPORT_BROKEN_H

/* Does it in a child, and fails the test unless that dies of SIGABRT and says first that an
 * invariant with these words is broken. */
void assert_broken(void (*act)(void *context), void *context, const char *words);

#endif

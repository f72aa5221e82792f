/* say.h: last words of a program that dies: to standard error, past the log. */
#ifndef BASE_SAY_H
#define BASE_SAY_H

/* Writes what standard error takes at once, and waits for nothing; may be called in a signal
 * handler. */
void say(const char *words);

#endif

/* logged.h: what is logged meanwhile. One log is kept at a time. */
#ifndef SUPPORT_LOGGED_H
#define SUPPORT_LOGGED_H

/* From here on what goes to standard error is kept, and nobody sees it. */
void logged_begin(void);

/* Returns how many lines of it say this, so far; "" is in each. */
unsigned logged_lines(const char *words);

/* What comes from now on is seen again; what was kept can still be asked for. */
void logged_end(void);

#endif

/* invariant.h: what is so by our own making, and must be, in every build. For what may come from
 * outside (input, a full disk, no memory) there is `struct error`; this is for what only a mistake
 * of ours can break, where going on would write beyond an array or into what is gone.
 *
 * A broken invariant is a crash, SIGABRT: the outputs are sent to safe first (process/crash.h), in
 * the loop's own thread, then it is told, then the program dies of it. Core and mechanics use none:
 * they touch nothing, and fall back to what is safe. */
#ifndef BASE_INVARIANT_H
#define BASE_INVARIANT_H

#define INVARIANT(condition)                                                                       \
    ((condition) ? (void)0 : invariant_broken(__FILE__, __LINE__, #condition))

/* Ends the program. */
_Noreturn void invariant_broken(const char *file, int line, const char *condition);

/* Returns which one is broken, as a line to be said, or NULL. May be called in a signal handler. */
const char *invariant_words(void);

#endif

/* error.h: one error, told upward. Functions that can fail return bool or an enum and fill one;
 * only main and the log print it. */
#ifndef BASE_ERROR_H
#define BASE_ERROR_H

struct error {
    char where[128]; /* file, JSON Pointer, device; may be empty */
    char what[256];  /* what was found and what was wanted */
};

/* Fills `error` (which may be NULL), cutting what is too long. Always returns false, to be returned
 * on. */
_Bool error_set(struct error *error, const char *where, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif

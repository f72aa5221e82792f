/* examples.h: worked examples (tests/mechanics/examples/README.md) read and held against the code.
 * Strict: a malformed line, an unknown unit, a value asked for that is not there and a value there
 * that nobody asked for all fail the test. Numbers pass in SI units. */
#ifndef SUPPORT_EXAMPLES_H
#define SUPPORT_EXAMPLES_H

#include <stddef.h>

struct example;

/* What `in:` says. Each fails the test if there is no such name. */
double example_in(struct example *example, const char *name); /* exactly one number */
size_t example_in_list(struct example *example, const char *name, double *numbers, size_t max);
void example_in_text(struct example *example, const char *name, const char *expected);

/* Holds a result, in SI units, against what `out:` says, in the unit there. */
void example_out(struct example *example, const char *name, double result);
void example_out_list(struct example *example, const char *name, const double *results,
                      size_t count);

struct example_test {
    const char *id;
    void (*run)(struct example *example);
};

/* Runs every block of tests/mechanics/examples/`name`.ex. Fails if a block has no test or a test no
 * block, and, after all have run, if any result was off or any value left unused. */
void examples_run(const char *name, const struct example_test *tests, size_t count);

/* A block of another file, for its `in:` values; its unused values are no failure. Valid until the
 * next call. */
struct example *examples_borrow(const char *name, const char *id);

/* The number of blocks of a file. */
size_t examples_count(const char *name);

#endif

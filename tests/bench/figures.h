/* figures.h: times and their order statistics. */
#ifndef BENCH_FIGURES_H
#define BENCH_FIGURES_H

#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

uint64_t figures_now_ns(void); /* monotonic */

/* Processor time that a process has had so far. */
double figures_cpu_s(pid_t pid);

/* Resident memory. */
double figures_memory_bytes(pid_t pid);

/* How often it gave the processor up to wait for something. */
long figures_wakeups(pid_t pid);

/* How many descriptors it has. */
unsigned figures_files(pid_t pid);

/* Sorts. `part` 0 to 1; nearest rank. */
double figures_quantile(double *values, size_t count, double part);
double figures_median(double *values, size_t count);

/* Ends the program with a reason. */
void figures_fail(const char *format, ...) __attribute__((format(printf, 1, 2), noreturn));

#endif

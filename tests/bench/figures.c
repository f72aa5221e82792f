#include "bench/figures.h"

#include <dirent.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

uint64_t figures_now_ns(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000000 + (uint64_t)now.tv_nsec;
}

double figures_cpu_s(pid_t pid) {
    clockid_t clock;
    struct timespec used;
    if (clock_getcpuclockid(pid, &clock) != 0 || clock_gettime(clock, &used) != 0) {
        return NAN;
    }
    return (double)used.tv_sec + (double)used.tv_nsec * 1e-9;
}

static FILE *open_proc(pid_t pid, const char *name) {
    char path[64];
    snprintf(path, sizeof path, "/proc/%d/%s", (int)pid, name);
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        figures_fail("%s cannot be read", path);
    }
    return file;
}

double figures_memory_bytes(pid_t pid) {
    long size = 0;
    long resident = 0;
    FILE *file = open_proc(pid, "statm");
    if (fscanf(file, "%ld %ld", &size, &resident) != 2) {
        figures_fail("no memory figure");
    }
    fclose(file);
    return (double)resident * (double)sysconf(_SC_PAGESIZE);
}

long figures_wakeups(pid_t pid) {
    char line[256];
    long count = -1;
    FILE *file = open_proc(pid, "status");
    while (fgets(line, sizeof line, file) != NULL) {
        if (sscanf(line, "voluntary_ctxt_switches: %ld", &count) == 1) {
            break;
        }
    }
    fclose(file);
    return count;
}

unsigned figures_files(pid_t pid) {
    char path[64];
    unsigned count = 0;
    snprintf(path, sizeof path, "/proc/%d/fd", (int)pid);
    DIR *files = opendir(path);
    if (files == NULL) {
        figures_fail("%s cannot be read", path);
    }
    for (const struct dirent *file; (file = readdir(files)) != NULL;) {
        count += file->d_name[0] != '.';
    }
    closedir(files);
    return count;
}

static int by_value(const void *left, const void *right) {
    double a = *(const double *)left;
    double b = *(const double *)right;
    return (a > b) - (a < b);
}

double figures_quantile(double *values, size_t count, double part) {
    if (count == 0) {
        return NAN;
    }
    qsort(values, count, sizeof *values, by_value);
    size_t rank = (size_t)ceil(part * (double)count);
    return values[rank == 0 ? 0 : rank - 1];
}

double figures_median(double *values, size_t count) {
    return figures_quantile(values, count, 0.5);
}

void figures_fail(const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    fputs("bench: ", stderr);
    vfprintf(stderr, format, arguments);
    fputs("\n", stderr);
    va_end(arguments);
    exit(1);
}

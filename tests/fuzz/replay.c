/* replay.c: runs every seed of a target, and every beginning of it, through the target. */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

enum { SEED_MAX = 65536, BEGINNINGS_MAX = 600 };

static size_t read_seed(const char *folder, const char *name, uint8_t *seed) {
    char path[512];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        perror(path);
        exit(1);
    }
    size_t size = fread(seed, 1, SEED_MAX, file);
    fclose(file);
    return size;
}

/* In memory of just its size, so that the sanitizers see a step beyond. */
static void run(const uint8_t *seed, size_t size) {
    uint8_t *copy = malloc(size + (size == 0));
    memcpy(copy, seed, size);
    LLVMFuzzerTestOneInput(copy, size);
    free(copy);
}

int main(int count, char **arguments) {
    static uint8_t seed[SEED_MAX];
    unsigned seeds = 0;
    DIR *folder = count == 2 ? opendir(arguments[1]) : NULL;
    const struct dirent *entry;
    while (folder != NULL && (entry = readdir(folder)) != NULL) {
        if (entry->d_name[0] == '.') {
            continue;
        }
        size_t size = read_seed(arguments[1], entry->d_name, seed);
        size_t step = 1 + size / BEGINNINGS_MAX;
        for (size_t length = 0; length < size; length += step) {
            run(seed, length);
        }
        run(seed, size);
        seeds++;
    }
    if (folder != NULL) {
        closedir(folder);
    }
    printf("%u seeds\n", seeds);
    return seeds > 0 ? 0 : 1; /* a target without seeds is a mistake */
}

/* Reads every combination of the choices that a configuration leaves open, holds each against what
 * must come of it, and prints the tables of guards/README.md. tools/combinations runs it. */
#include "guards/survey.h"

#include <stdio.h>
#include <stdlib.h>

int main(int count, char **arguments) {
    static struct survey surveys[SURVEY_SHARES];
    const char *daemon = count > 1 ? arguments[1] : NULL;
    uint32_t step = count > 2 ? (uint32_t)strtoul(arguments[2], NULL, 10) : 1;
    uint32_t by_program = 0;
    if (step == 0) {
        fputs("usage: combinations [DRAWTENDERD [EVERY]]\n", stderr);
        return 64;
    }
    combination_begin();
    for (size_t i = 0; i < SURVEY_SHARES; i++) {
        if (!survey_run(&survey_shares[i], 1, daemon, step, &surveys[i])) {
            fprintf(stderr, "%s: %s\n", survey_shares[i].name, surveys[i].broken);
            return 1;
        }
        by_program += surveys[i].by_program;
    }
    combination_end();
    survey_tables(stdout, surveys);
    fprintf(stderr, "by drawtenderd itself: %u\n", (unsigned)by_program);
    return 0;
}

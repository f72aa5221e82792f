/* faults.c: the program that writes the fault table, and tries double faults. */
#include "faults/doubles.h"
#include "faults/survey.h"

#include <stdlib.h>
#include <string.h>

static const char usage[] =
    "usage: faults single             the table of single faults, in Markdown\n"
    "       faults double N [SEED]    N openings with two faults at once\n"
    "Exit code 1: an invariant was broken, or something hung (told on standard error).\n";

static int single(void) {
    static struct survey survey;
    unsigned wrongs = 0;
    survey_run(&survey, BRIDGE_WHOLE, 50000, 1); /* contacts debounced */
    wrongs += survey_check(&survey, stderr);
    fputs("undebounced:\n", stderr);
    for (enum fault_bridge bridge = 0; bridge < FAULT_BRIDGES; bridge++) {
        survey_run(&survey, bridge, 0, 1);
        wrongs += survey_check(&survey, stderr);
        survey_write(&survey, stdout);
    }
    return wrongs > 0 ? EXIT_FAILURE : EXIT_SUCCESS;
}

int main(int argc, char **argv) {
    if (argc == 2 && strcmp(argv[1], "single") == 0) {
        return single();
    }
    if ((argc == 3 || argc == 4) && strcmp(argv[1], "double") == 0) {
        unsigned long openings = strtoul(argv[2], NULL, 10);
        unsigned long long seed = argc == 4 ? strtoull(argv[3], NULL, 10) : 1;
        if (openings > 0 && openings <= 100000000 && seed > 0) {
            return doubles_run((unsigned)openings, seed, stdout) > 0 ? EXIT_FAILURE : EXIT_SUCCESS;
        }
    }
    bool is_help = argc == 2 && strcmp(argv[1], "--help") == 0;
    fputs(usage, is_help ? stdout : stderr);
    return is_help ? EXIT_SUCCESS : 2;
}

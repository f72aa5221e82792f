#include "faults/doubles.h"

#include <string.h>

enum { DEFECTS_MAX = 200, LATER_MOST_US = 30000000, DEBOUNCE_US = 50000 };

/* How often a pair was dangerous, and how. */
static unsigned dangers[UNTRUTHS][DEFECTS_MAX][DEFECTS_MAX];

/* xorshift64* (Vigna, 2016, doi:10.1145/2845077; constants from memory). */
static unsigned chance(uint64_t *seed, unsigned below) {
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return (unsigned)((*seed * UINT64_C(2685821657736338717)) >> 33) % below;
}

static void note_danger(const struct bridge_defect *defects, unsigned a, unsigned b,
                        uint32_t untrue) {
    unsigned low = a < b ? a : b, high = a < b ? b : a;
    uint32_t alone = defects[a].may_be_untrue | defects[b].may_be_untrue;
    for (unsigned u = 0; u < UNTRUTHS; u++) {
        dangers[u][low][high] += (untrue & ~alone) >> u & 1;
    }
}

static void write_dangers(const struct bridge_defect *defects, unsigned count, FILE *to) {
    fputs("\n## Dangerous though every input allowed it\n\nTwo faults that defeat two proofs at "
          "once; neither is dangerous alone.\n\n| what happens | two faults | openings |\n"
          "| --- | --- | --- |\n",
          to);
    for (unsigned u = 0; u < UNTRUTHS; u++) {
        for (unsigned a = 0; a < count; a++) {
            for (unsigned b = a; b < count; b++) {
                if (dangers[u][a][b] > 0) {
                    fprintf(to, "| %s | `%s`, `%s` | %u |\n", untruth_text((enum untruth)u),
                            defects[a].words, defects[b].words, dangers[u][a][b]);
                }
            }
        }
    }
}

unsigned doubles_run(unsigned openings, uint64_t seed, FILE *to) {
    static struct stage stages[2];
    static const char *const ends[] = {"lined again", "given up", "fault latched",
                                       "waits and says for what", "hung"};
    unsigned count, wrongs = 0, ended[END_HUNG + 1] = {0};
    uint64_t first_seed = seed;
    const struct bridge_defect *defects = catalog_defects(BRIDGE_WHOLE, &count);
    stage_set(&stages[0], BRIDGE_WHOLE, 0);
    stage_set(&stages[1], BRIDGE_WHOLE, DEBOUNCE_US);
    memset(dangers, 0, sizeof dangers);
    fprintf(to, "# Double faults\n\n%u openings, seed %llu.\n\n", openings,
            (unsigned long long)first_seed);
    for (unsigned i = 0; i < openings; i++) {
        unsigned a = chance(&seed, count), b = chance(&seed, count);
        const struct stage *stage = &stages[chance(&seed, 2)];
        enum moment moment = (enum moment)chance(&seed, MOMENTS);
        unsigned scenes = moment == MOMENT_LINED ? TRAIN_SCENES : TRAINS_ON_BRIDGE;
        enum trains trains = (enum trains)chance(&seed, scenes);
        uint64_t later_us = chance(&seed, 2) == 0 ? 0 : chance(&seed, LATER_MOST_US);
        struct outcome outcome =
            trial_run(stage, moment, trains, &defects[a], &defects[b], later_us, false);
        ended[outcome.end]++;
        note_danger(defects, a, b, outcome.untrue);
        if (outcome.broken != NULL || outcome.end == END_HUNG) {
            wrongs++;
            fprintf(to, "- WRONG: %s, after %.2f s %s, at %s, trains %u, opening %u: %s\n",
                    defects[a].words, (double)later_us / 1e6, defects[b].words, moment_name(moment),
                    trains, i, outcome.broken != NULL ? outcome.broken : "hung");
        }
    }
    fputs("| end | openings |\n| --- | --- |\n", to);
    for (unsigned e = 0; e <= END_HUNG; e++) {
        fprintf(to, "| %s | %u |\n", ends[e], ended[e]);
    }
    write_dangers(defects, count, to);
    return wrongs;
}

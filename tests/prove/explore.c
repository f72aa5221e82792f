/* explore.c: the program that walks scenes. */
#include "prove/walks/clocked.h"
#include "prove/walks/explorer.h"
#include "prove/walks/progress.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static void tell_seen(const struct explored *seen) {
    unsigned phases = 0;
    for (unsigned i = 0; i < BRIDGE_PHASES; i++) {
        phases += seen->phases >> i & 1u;
    }
    printf("  seen: %u of %d phases%s%s%s%s%s\n", phases, (int)BRIDGE_PHASES,
           seen->has_driven ? ", lift driven" : "", seen->has_withdrawn ? ", lock withdrawn" : "",
           seen->has_locked ? ", lock driven" : "", seen->has_powered ? ", power on" : "",
           seen->has_cleared ? ", proceed shown" : "");
}

static bool explore(const struct scene *scene, int raw_percent) {
    double began_s = now_s();
    struct explorer *explorer = explorer_new(scene);
    explorer_walk(explorer);
    double walked_s = now_s();
    explorer_try_raw(explorer, scene->raw_tries * (unsigned)raw_percent / 100);
    const struct explored *result = explorer_result(explorer);
    printf("%s: %zu states, %zu transitions, depth %u, %.1f s, %.1f MB; "
           "%zu unreduced steps, %.1f s: %s\n",
           scene->name, result->states, result->steps, result->depth, walked_s - began_s,
           (double)result->bytes / 1e6, result->raw_steps, now_s() - walked_s,
           result->broken != NULL ? "BROKEN" : "holds");
    tell_seen(result);
    explorer_tell(explorer);
    fflush(stdout);
    bool holds = result->broken == NULL;
    explorer_free(explorer);
    return holds;
}

static bool progress(const struct scene *scene) {
    double began_s = now_s();
    struct progress result = progress_walk(scene);
    printf("  L1, in a world that obeys: %zu states, %zu transitions, %.1f s; "
           "a request stands in %zu: %s\n",
           result.states, result.steps, now_s() - began_s, result.standing,
           result.broken != NULL ? "BROKEN" : "holds");
    fflush(stdout);
    return result.broken == NULL;
}

static bool clocked(const struct clock_scene *scene) {
    double began_s = now_s();
    struct clocked result = clocked_walk(scene);
    printf("%s: %zu states, %zu transitions, %.1f s: %s\n", scene->name, result.states,
           result.steps, now_s() - began_s, result.broken != NULL ? "BROKEN" : "holds");
    fflush(stdout);
    return result.broken == NULL;
}

/* In a world that may do anything, unless that is to be left out; and in one that obeys. */
static bool prove(const struct scene *scene, int raw_percent, bool obeys_only) {
    bool holds = obeys_only || explore(scene, raw_percent);
    return progress(scene) && holds;
}

static int usage(FILE *to) {
    fputs("usage: explore [--raw PERCENT | --obeying] [SCENE ...]\n"
          "Walks every state of the bridges called scenes (default: all) and judges every step:\n"
          "first in a world that may do anything (S1 to S6, S8, S9), then in one that obeys (L1);\n"
          "those called clock-... in a world of a few true lengths, for times and motion.\n"
          "--raw: share of the unreduced random steps that each scene tries, default 100.\n"
          "--obeying: only the world that obeys.\n",
          to);
    for (size_t i = 0; i < SCENES; i++) {
        struct scene scene = scene_at(i);
        fprintf(to, "  %-14s %s\n", scene.name, scene.about);
    }
    for (size_t i = 0; i < clock_scenes(); i++) {
        struct clock_scene scene = clock_scene_at(i);
        fprintf(to, "  %-14s %s\n", scene.name, scene.about);
    }
    return to == stdout ? EXIT_SUCCESS : 2;
}

/* One by its name; returns false where there is none of it. */
static bool walk_named(const char *name, int raw_percent, bool obeys_only, bool *hold) {
    struct scene scene;
    struct clock_scene clock;
    if (scene_find(name, &scene)) {
        *hold = prove(&scene, raw_percent, obeys_only) && *hold;
        return true;
    }
    if (clock_scene_find(name, &clock)) {
        *hold = clocked(&clock) && *hold;
        return true;
    }
    return false;
}

static bool walk_all(int raw_percent, bool obeys_only) {
    bool hold = true;
    for (size_t i = 0; i < SCENES; i++) {
        struct scene scene = scene_at(i);
        hold = prove(&scene, raw_percent, obeys_only) && hold;
    }
    for (size_t i = 0; i < clock_scenes() && !obeys_only; i++) {
        struct clock_scene scene = clock_scene_at(i);
        hold = clocked(&scene) && hold;
    }
    return hold;
}

int main(int argc, char **argv) {
    int first = 1;
    int raw_percent = 100;
    bool obeys_only = false;
    if (argc > 1 && strcmp(argv[1], "--help") == 0) {
        return usage(stdout);
    }
    if (argc > 2 && strcmp(argv[1], "--raw") == 0) {
        raw_percent = (int)strtol(argv[2], NULL, 10);
        first = 3;
    } else if (argc > 1 && strcmp(argv[1], "--obeying") == 0) {
        obeys_only = true;
        first = 2;
    }
    bool hold = first < argc || walk_all(raw_percent, obeys_only);
    for (int i = first; i < argc; i++) {
        if (!walk_named(argv[i], raw_percent, obeys_only, &hold)) {
            return usage(stderr);
        }
    }
    return hold ? EXIT_SUCCESS : EXIT_FAILURE;
}

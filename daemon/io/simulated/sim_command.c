/* The run-time commands of sim.h: a table of verbs, each with the words it wants. */
#include "base/text/near.h"
#include "io/simulated/world/sim.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char where[] = "simulation";

enum { TELL_WORDS_MAX = 5 };

struct words {
    char text[SIMULATION_WORDS_SIZE];
    unsigned count;
    const char *word[TELL_WORDS_MAX];
};

static bool split(const char *text, struct words *words, struct error *error) {
    size_t length = strlen(text);
    if (length >= sizeof words->text) {
        return error_set(error, where, "%zu bytes are too many, at most %zu", length,
                         sizeof words->text - 1);
    }
    memcpy(words->text, text, length + 1);
    words->count = 0;
    char *rest = NULL;
    for (char *word = strtok_r(words->text, " \t\r\n", &rest); word != NULL;
         word = strtok_r(NULL, " \t\r\n", &rest)) {
        if (words->count == TELL_WORDS_MAX) {
            return error_set(error, where, "more than %d words", TELL_WORDS_MAX);
        }
        words->word[words->count++] = word;
    }
    return true;
}

static bool command_fault(struct sim *sim, const struct words *words, struct error *error) {
    const char *last = words->word[words->count - 1];
    bool is_on = strcmp(last, "on") == 0;
    if (words->count > 4 || (!is_on && strcmp(last, "off") != 0)) {
        return error_set(error, where, "a fault wants: fault NAME [VALUE] on|off");
    }
    if (strcmp(words->word[1], "all") == 0 && words->count == 3 && !is_on) {
        sim->faults = (struct sim_faults){0};
        sim_settle(sim);
        return true;
    }
    const char *value = words->count == 4 ? words->word[2] : NULL;
    if (!sim_faults_switch(&sim->faults, &sim->setup, sim->bridge.tracks, words->word[1], value,
                           is_on, error)) {
        return false;
    }
    sim_settle(sim);
    return true;
}

static bool work_contact(struct sim *sim, const struct words *words, struct error *error) {
    const char *how = words->word[3];
    bool is_made = strcmp(how, "made") == 0;
    bool is_open = strcmp(how, "open") == 0;
    unsigned input;
    if (strcmp(words->word[2], "by-hand") != 0 ||
        (!is_made && !is_open && strcmp(how, "free") != 0)) {
        return error_set(error, where,
                         "by hand a contact wants: contact NAME by-hand "
                         "made|open|free");
    }
    if (!sim_faults_find_input(&sim->setup, sim->bridge.tracks, words->word[1], &input, error)) {
        return false;
    }
    uint64_t bit = UINT64_C(1) << input;
    sim->hand_made = is_made ? sim->hand_made | bit : sim->hand_made & ~bit;
    sim->hand_open = is_open ? sim->hand_open | bit : sim->hand_open & ~bit;
    return true;
}

static bool command_contact(struct sim *sim, const struct words *words, struct error *error) {
    if (words->count == 4) {
        return work_contact(sim, words, error);
    }
    if (!sim_faults_set_contact(&sim->faults, &sim->setup, sim->bridge.tracks, words->word[1],
                                words->word[2], error)) {
        return false;
    }
    sim_settle(sim);
    return true;
}

static bool command_train(struct sim *sim, const struct words *words, struct error *error) {
    static const struct {
        const char *word;
        enum sim_train_command command;
    } commands[] = {{"start", SIM_TRAIN_START},
                    {"stop", SIM_TRAIN_STOP},
                    {"reverse", SIM_TRAIN_REVERSE},
                    {"gone", SIM_TRAIN_GO_AWAY}};
    unsigned train;
    if (!sim_faults_find_train(&sim->setup, words->word[1], &train, error)) {
        return false;
    }
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        if (strcmp(words->word[2], commands[i].word) == 0) {
            struct sim_surroundings around = sim_surroundings(sim, &sim->news);
            return sim_train_command(&around, sim->train, train, commands[i].command, error);
        }
    }
    return error_set(error, where, "a train can start, stop, reverse or be gone, not \"%s\"",
                     words->word[2]);
}

static bool command_span(struct sim *sim, const struct words *words, struct error *error) {
    if (strcmp(words->word[1], "by-hand") != 0) {
        return error_set(error, where, "a span wants: span by-hand FRACTION");
    }
    if (!sim->bridge.is_hand_lifted) {
        return error_set(error, where, "the span has a lift; it is not moved by hand");
    }
    char *end = NULL;
    errno = 0;
    double frac = strtod(words->word[2], &end);
    if (end == words->word[2] || *end != '\0' || errno != 0 || !(frac >= 0) || !(frac <= 1)) {
        return error_set(error, where, "by hand to a fraction of the travel, 0 to 1, not \"%s\"",
                         words->word[2]);
    }
    sim->hand_to_frac = frac;
    return true;
}

static bool command_lock(struct sim *sim, const struct words *words, struct error *error) {
    bool is_driven = strcmp(words->word[2], "driven") == 0;
    if (strcmp(words->word[1], "by-hand") != 0 ||
        (!is_driven && strcmp(words->word[2], "withdrawn") != 0)) {
        return error_set(error, where, "a lock wants: lock by-hand driven|withdrawn");
    }
    if (!sim->bridge.has_lock) {
        return error_set(error, where, "the span has no lock bar");
    }
    if (sim->bridge.has_lock_drive) {
        return error_set(error, where, "the lock has a drive; it is not moved by hand");
    }
    if (sim_faults_is_on(&sim->faults, SIM_LOCK_STUCK, 0)) {
        return error_set(error, where, "the lock bar is stuck");
    }
    sim->lock.driven_frac = is_driven ? 1 : 0;
    return true;
}

bool sim_command(struct sim *sim, const char *text, struct error *error) {
    static const struct {
        const char *verb;
        unsigned least_words, most_words;
        bool (*command)(struct sim *sim, const struct words *words, struct error *error);
        const char *usage;
    } verbs[] = {
        {"fault", 3, 4, command_fault, "fault NAME [VALUE] on|off"},
        {"contact", 3, 4, command_contact, "contact NAME made|open|broken|flapping|late|free"},
        {"train", 3, 3, command_train, "train NAME start|stop|reverse|gone"},
        {"span", 3, 3, command_span, "span by-hand FRACTION"},
        {"lock", 3, 3, command_lock, "lock by-hand driven|withdrawn"},
    };
    struct words words;
    if (!split(text, &words, error)) {
        return false;
    }
    const char *verb = words.count > 0 ? words.word[0] : "";
    struct near near = near_begin(verb);
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++) {
        if (strcmp(verb, verbs[i].verb) != 0) {
            near_offer(&near, verbs[i].verb);
            continue;
        }
        if (words.count < verbs[i].least_words || words.count > verbs[i].most_words) {
            return error_set(error, where, "%u words; wanted: %s", words.count, verbs[i].usage);
        }
        return verbs[i].command(sim, &words, error);
    }
    return error_set(error, where,
                     "\"%s\" is not a command; fault, contact, train, span or lock%s%s", verb,
                     near.best != NULL ? "; nearest: " : "", near.best != NULL ? near.best : "");
}

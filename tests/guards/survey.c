#include "guards/survey.h"

#include "config/config.h"
#include "guards/program.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define BIT(choice) (UINT64_C(1) << (choice))

#define ALL_BRIDGE (BIT(CHOICES_OF_BRIDGE) - 1)
#define OF_END(choice) (BIT(choice) | BIT((choice) + CHOICES_OF_END))
#define ALL_ENDS (BIT(CHOICES) - BIT(CHOICE_END))
#define DETECTORS (BIT(CHOICE_SPAN_DETECTOR) | OF_END(CHOICE_STOP_DETECTOR))
#define ALL_WIRES (BIT(CHOICE_SPAN_DETECTOR) | BIT(CHOICE_SPAN_PROOF) | ALL_ENDS)
#define SAID (BIT(CHOICE_TRAINS) | BIT(CHOICE_RUN_OUT) | BIT(CHOICE_BY_TIME) | BIT(CHOICE_BY_WORD))

const struct share survey_shares[SURVEY_SHARES] = {
    {"every bridge, a track with everything", ALL_BRIDGE, ALL_WIRES},
    {"every bridge, a track with nothing", ALL_BRIDGE, 0},
    {"every bridge, a track with nothing whose slowest train is known", ALL_BRIDGE,
     BIT(CHOICE_TRAINS)},
    {"every track, a powered bridge with everything", ALL_WIRES, ALL_BRIDGE & ~BIT(CHOICE_HAND)},
    {"every track, a powered bridge with two switches", ALL_WIRES,
     BIT(CHOICE_SEATED) | BIT(CHOICE_OPEN)},
    {"every way to say what stands for detectors, a powered bridge with two switches",
     SAID | DETECTORS | OF_END(CHOICE_AUTOMATIC) | OF_END(CHOICE_SIGNAL_PROOF),
     BIT(CHOICE_SEATED) | BIT(CHOICE_OPEN)},
    {"every track, a bridge lifted by hand", ALL_WIRES | BIT(CHOICE_TRAINS),
     BIT(CHOICE_SEATED) | BIT(CHOICE_HAND) | BIT(CHOICE_BAR) | BIT(CHOICE_LOCKED)},
};

uint32_t share_size(const struct share *share) {
    uint32_t size = 1;
    for (unsigned i = 0; i < CHOICES; i++) {
        size *= combination_has(share->open, i) ? 2 : 1;
    }
    return size;
}

combination share_at(const struct share *share, uint32_t n) {
    combination chosen = share->fixed & ~share->open;
    for (unsigned i = 0; i < CHOICES; i++) {
        if (combination_has(share->open, i)) {
            chosen |= (combination)(n & 1) << i;
            n >>= 1;
        }
    }
    return chosen;
}

/* ---- one set */

struct look {
    struct survey *survey;
    combination chosen;
    struct config *config;
    struct config_report *report;
    bool is_accepted;
    struct guards guards;
};

static void complain(struct survey *survey, combination chosen, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void complain(struct survey *survey, combination chosen, const char *format, ...) {
    if (survey->broken[0] == '\0') {
        int length = snprintf(survey->broken, sizeof survey->broken, "%08" PRIx64 ": ", chosen);
        va_list words;
        va_start(words, format);
        vsnprintf(survey->broken + length, sizeof survey->broken - (size_t)length, format, words);
        va_end(words);
    }
}

/* FNV-1a, 64 bits (the published constants). */
static void digest(struct survey *survey, const void *bytes, size_t length) {
    const unsigned char *each = bytes;
    for (size_t i = 0; i < length; i++) {
        survey->digest = (survey->digest ^ each[i]) * 0x100000001b3u;
    }
}

static void read_one(struct look *look) {
    static char bridge[COMBINATION_TEXT_SIZE];
    static char text[COMBINATION_TEXT_SIZE + 32];
    combination_write(look->chosen, 0, bridge);
    int length = snprintf(text, sizeof text, "{\"bridges\":[%s]}", bridge);
    look->is_accepted = config_read_text(text, (size_t)length, look->config, look->report);
    if (look->is_accepted) {
        guards_of(&look->config->net.bridge[0].setup, &look->guards);
    }
}

static const char bridge_place[] = "/bridges/0";

static bool is_refused_at(const struct config_report *report, const char *place) {
    for (size_t i = 0; i < config_list_kept(&report->errors); i++) {
        const char *where = report->errors.complaint[i].where;
        if (strcmp(where + strlen(bridge_place), place) == 0) {
            return true;
        }
    }
    return false;
}

/* A person who reads it must know what to do. */
static bool says_what_to_do(const char *what) {
    static const char *const words[] = {"add ", "needed", "has no ", "give it"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strstr(what, words[i]) != NULL) {
            return true;
        }
    }
    return false;
}

static void judge_refused(const struct look *look, const char *const places[], size_t count) {
    const struct config_list *errors = &look->report->errors;
    for (size_t i = 0; i < count; i++) {
        if (!is_refused_at(look->report, places[i])) {
            complain(look->survey, look->chosen, "is not refused at %s", places[i]);
        }
    }
    for (size_t i = 0; i < errors->count; i++) {
        const struct error *error = &errors->complaint[i];
        bool is_meant = false;
        for (size_t place = 0; place < count; place++) {
            is_meant = is_meant || strcmp(error->where + strlen(bridge_place), places[place]) == 0;
        }
        if (!is_meant || !says_what_to_do(error->what)) {
            complain(look->survey, look->chosen, "is refused at %s: %s", error->where, error->what);
        }
    }
}

static void judge_accepted(const struct look *look) {
    for (unsigned i = 0; i < look->guards.rows; i++) {
        if (look->guards.row[i].how == GUARD_MISSING) {
            complain(look->survey, look->chosen, "is accepted, with thing %d not guarded",
                     (int)look->guards.row[i].thing);
        }
    }
}

static void judge(const struct look *look) {
    const char *places[COMBINATION_PLACES_MAX];
    size_t count = combination_refusals(look->chosen, places);
    if (look->is_accepted != (count == 0)) {
        complain(look->survey, look->chosen, "is %s: %s",
                 look->is_accepted ? "accepted" : "refused",
                 look->is_accepted ? places[0] : look->report->errors.complaint[0].what);
    } else if (look->is_accepted) {
        judge_accepted(look);
    } else {
        judge_refused(look, places, count);
    }
}

static void count_rows(struct look *look) {
    bool has[GUARD_THINGS][GUARD_SORTS] = {{false}};
    for (unsigned i = 0; i < look->guards.rows; i++) {
        const struct guard_row *row = &look->guards.row[i];
        const unsigned char what[] = {(unsigned char)row->thing, (unsigned char)row->how,
                                      (unsigned char)row->end};
        has[row->thing][row->how] = true;
        digest(look->survey, what, sizeof what);
        digest(look->survey, row->rests_on, strlen(row->rests_on));
    }
    for (unsigned thing = 0; thing < GUARD_THINGS; thing++) {
        for (unsigned how = 0; how < GUARD_SORTS; how++) {
            look->survey->rows[thing][how] += has[thing][how] ? 1 : 0;
        }
    }
}

bool survey_count_reason(struct survey *survey, const char *words, uint32_t count) {
    for (size_t i = 0; i < SURVEY_REASONS_MAX; i++) {
        struct refusal_reason *reason = &survey->reasons[i];
        if (reason->count == 0 || strcmp(reason->words, words) == 0) {
            snprintf(reason->words, sizeof reason->words, "%s", words);
            reason->count += count;
            return true;
        }
    }
    return false;
}

static void take_down_error(struct survey *survey, const struct error *error) {
    char words[sizeof survey->reasons[0].words];
    bool is_of_bridge = strncmp(error->where, bridge_place, strlen(bridge_place)) == 0;
    snprintf(words, sizeof words, "`%s`: %s",
             error->where + (is_of_bridge ? strlen(bridge_place) : 0), error->what);
    digest(survey, error->where, strlen(error->where));
    if (!survey_count_reason(survey, words, 1)) {
        complain(survey, 0, "more reasons than there is room for");
    }
}

static void take_down(struct look *look) {
    digest(look->survey, &(char){look->is_accepted ? 'y' : 'n'}, 1);
    look->survey->looked_at++;
    if (look->is_accepted) {
        look->survey->accepted++;
        count_rows(look);
        return;
    }
    look->survey->refused++;
    for (size_t i = 0; i < look->report->errors.count; i++) {
        take_down_error(look->survey, &look->report->errors.complaint[i]);
    }
}

/* ---- all of them */

static bool has_begun(struct look *look, struct survey *survey) {
    look->survey = survey;
    look->config = malloc(sizeof *look->config);
    look->report = malloc(sizeof *look->report);
    return look->config != NULL && look->report != NULL;
}

bool survey_run(const struct share *share, uint32_t step, const char *daemon, uint32_t daemon_step,
                struct survey *survey) {
    struct look look = {0};
    struct program program;
    *survey = (struct survey){.share = *share, .digest = 0xcbf29ce484222325u};
    if (!has_begun(&look, survey)) {
        complain(survey, 0, "out of memory");
        return false;
    }
    program_begin(&program, daemon);
    for (uint32_t n = 0; n < share_size(share) && survey->broken[0] == '\0'; n += step) {
        look.chosen = share_at(share, n);
        if (!combination_can_be_written(look.chosen)) {
            continue;
        }
        read_one(&look);
        judge(&look);
        take_down(&look);
        if (daemon != NULL && survey->looked_at % daemon_step == 1 % daemon_step) {
            program_look(&program, look.chosen, look.is_accepted ? look.config : NULL, look.report);
        }
    }
    program_end(&program);
    survey->by_program = program.looked_at;
    if (program.broken[0] != '\0') {
        complain(survey, program.chosen, "%s", program.broken);
    }
    free(look.config);
    free(look.report);
    return survey->broken[0] == '\0';
}

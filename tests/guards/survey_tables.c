#include "core/words/guard_words.h"
#include "guards/survey.h"
#include "support/check.h"

#include <inttypes.h>

#define N "%" PRIu32

void survey_line(const struct survey *survey, char line[256]) {
    snprintf(line, 256, "| %s | " N " | " N " | " N " | %016" PRIx64 " |", survey->share.name,
             survey->looked_at, survey->accepted, survey->refused, survey->digest);
}

static void sum_up(struct survey *all, const struct survey *each) {
    all->looked_at += each->looked_at;
    all->accepted += each->accepted;
    all->refused += each->refused;
    for (unsigned thing = 0; thing < GUARD_THINGS; thing++) {
        for (unsigned how = 0; how < GUARD_SORTS; how++) {
            all->rows[thing][how] += each->rows[thing][how];
        }
    }
    for (size_t i = 0; i < SURVEY_REASONS_MAX && each->reasons[i].count > 0; i++) {
        assert_true(survey_count_reason(all, each->reasons[i].words, each->reasons[i].count));
    }
}

static void print_shares(FILE *out, const struct survey surveys[SURVEY_SHARES],
                         const struct survey *all) {
    fputs("| what is enumerated | combinations | accepted | refused | digest |\n"
          "| --- | ---: | ---: | ---: | --- |\n",
          out);
    for (size_t i = 0; i < SURVEY_SHARES; i++) {
        char line[256];
        survey_line(&surveys[i], line);
        fprintf(out, "%s\n", line);
    }
    fprintf(out, "| all | " N " | " N " | " N " | |\n\n", all->looked_at, all->accepted,
            all->refused);
}

/* "home signal TRACK END at stop" */
static void name_condition(enum guard_thing thing, struct guard_words *words) {
    static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"TRACK", {"END", "END"}}};
    const struct guards one = {.rows = 1, .row = {{.thing = thing, .rests_on = ""}}};
    guards_describe(&one, 0, tracks, words);
}

static void print_conditions(FILE *out, const struct survey *all) {
    fputs("| condition, of those accepted | proved | by time | by a person's word |\n"
          "| --- | ---: | ---: | ---: |\n",
          out);
    for (unsigned thing = 0; thing < GUARD_THINGS; thing++) {
        const uint32_t *rows = all->rows[thing];
        struct guard_words words;
        name_condition(thing, &words);
        fprintf(out, "| %s | " N " | " N " | " N " |\n", words.condition, rows[GUARD_PROVED],
                rows[GUARD_BY_TIME], rows[GUARD_BY_WORD]);
    }
}

static void print_reasons(FILE *out, const struct survey *all) {
    fputs("\n| refused, with these words | combinations |\n| --- | ---: |\n", out);
    for (size_t i = 0; i < SURVEY_REASONS_MAX && all->reasons[i].count > 0; i++) {
        fprintf(out, "| %s | " N " |\n", all->reasons[i].words, all->reasons[i].count);
    }
}

void survey_tables(FILE *out, const struct survey surveys[SURVEY_SHARES]) {
    struct survey all = {.looked_at = 0};
    for (size_t i = 0; i < SURVEY_SHARES; i++) {
        sum_up(&all, &surveys[i]);
    }
    print_shares(out, surveys, &all);
    print_conditions(out, &all);
    print_reasons(out, &all);
}

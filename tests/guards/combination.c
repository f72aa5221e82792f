#include "guards/combination.h"

#include "support/check.h"
#include "support/config/config_text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool combination_has(combination chosen, enum choice choice) {
    return (chosen >> choice & 1) != 0;
}

bool combination_end_has(combination chosen, unsigned end, enum choice choice) {
    return combination_has(chosen, choice + end * CHOICES_OF_END);
}

bool combination_can_be_written(combination chosen) {
    bool is_bar_said = combination_has(chosen, CHOICE_BAR);
    bool is_driven = combination_has(chosen, CHOICE_BAR_DRIVEN);
    bool is_by_both =
        combination_has(chosen, CHOICE_BY_TIME) && combination_has(chosen, CHOICE_BY_WORD);
    return (is_bar_said || !is_driven) && !is_by_both;
}

/* ---- writing */

static char *bases[2]; /* powered, by hand: all but what is chosen, without the last brace */

static char *base_of(const char *example) {
    static const char *const chosen[] = {"name",    "bus",    "addresses", "lock",      "contacts",
                                         "sensors", "tracks", "warning",   "simulation"};
    char path[256];
    snprintf(path, sizeof path, SOURCE_DIR "/config/%s", example);
    char *text = config_text_of_file(path);
    cJSON *tree = cJSON_Parse(text);
    cJSON *bridge = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    assert_non_null(bridge);
    for (size_t i = 0; i < sizeof chosen / sizeof chosen[0]; i++) {
        cJSON_DeleteItemFromObject(bridge, chosen[i]);
    }
    char *base = cJSON_PrintUnformatted(bridge);
    assert_non_null(base);
    base[strlen(base) - 1] = '\0';
    cJSON_Delete(tree);
    free(text);
    return base;
}

void combination_begin(void) {
    bases[0] = base_of("mill-swing.json");
    bases[1] = base_of("garden-gate.json");
}

void combination_end(void) {
    cJSON_free(bases[0]);
    cJSON_free(bases[1]);
}

struct text {
    char *at;
    size_t used;
};

static void add(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void add(struct text *text, const char *format, ...) {
    va_list words;
    va_start(words, format);
    int length =
        vsnprintf(text->at + text->used, COMBINATION_TEXT_SIZE - text->used, format, words);
    va_end(words);
    assert_in_range(length, 0, COMBINATION_TEXT_SIZE - 1 - text->used);
    text->used += (size_t)length;
}

static const char *yes(bool is_so) {
    return is_so ? "true" : "false";
}

static void add_end(struct text *text, combination chosen, unsigned end) {
    add(text,
        "{\"name\":\"%s\",\"approach length\":\"3 m\",\"stop length\":\"2 m\","
        "\"approach detector\":%s,\"standing detector\":%s,\"stop detector\":%s,"
        "\"signal proof\":%s,\"power proof\":%s,\"automatic\":%s}",
        end == 0 ? "west" : "east", yes(combination_end_has(chosen, end, CHOICE_APPROACH_DETECTOR)),
        yes(combination_end_has(chosen, end, CHOICE_STANDING_DETECTOR)),
        yes(combination_end_has(chosen, end, CHOICE_STOP_DETECTOR)),
        yes(combination_end_has(chosen, end, CHOICE_SIGNAL_PROOF)),
        yes(combination_end_has(chosen, end, CHOICE_STOP_PROOF)),
        yes(combination_end_has(chosen, end, CHOICE_AUTOMATIC)));
}

static void add_track(struct text *text, combination chosen) {
    add(text,
        "{\"name\":\"main\",\"span length\":\"120 cm\",\"span detector\":%s,"
        "\"span power proof\":%s,",
        yes(combination_has(chosen, CHOICE_SPAN_DETECTOR)),
        yes(combination_has(chosen, CHOICE_SPAN_PROOF)));
    add(text,
        "\"trains\":{\"speed\":\"0.3 m/s\",\"braking\":\"0.2 m/s2\",\"coasting\":\"0.08 m/s2\","
        "\"pickup\":\"30 cm\"%s},",
        combination_has(chosen, CHOICE_TRAINS) ? ",\"slowest\":\"0.1 m/s\",\"length\":\"2 m\""
                                               : "");
    if (combination_has(chosen, CHOICE_RUN_OUT)) {
        add(text, "\"run out\":\"2 min\",");
    }
    if (combination_has(chosen, CHOICE_BY_TIME) || combination_has(chosen, CHOICE_BY_WORD)) {
        add(text, "\"unwatched\":\"%s\",",
            combination_has(chosen, CHOICE_BY_TIME) ? "time" : "word");
    }
    add(text, "\"ends\":[");
    add_end(text, chosen, 0);
    add(text, ",");
    add_end(text, chosen, 1);
    add(text, "]}");
}

static void add_contacts(struct text *text, combination chosen) {
    static const struct {
        enum choice choice;
        const char *key;
    } keys[] = {{CHOICE_SEATED, "seated"},           {CHOICE_LOCKED, "locked"},
                {CHOICE_WITHDRAWN, "withdrawn"},     {CHOICE_NEARLY_SEATED, "nearly seated"},
                {CHOICE_NEARLY_OPEN, "nearly open"}, {CHOICE_OPEN, "open"},
                {CHOICE_OVERTRAVEL, "overtravel"},   {CHOICE_STOP_CIRCUIT, "stop circuit"}};
    add(text, "\"contacts\":{");
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        add(text, "\"%s\":%s,", keys[i].key, yes(combination_has(chosen, keys[i].choice)));
    }
    add(text, "\"rails\":%d}", combination_has(chosen, CHOICE_RAILS) ? 1 : 0);
}

void combination_write(combination chosen, unsigned index, char text_at[COMBINATION_TEXT_SIZE]) {
    struct text text = {.at = text_at};
    add(&text, "%s,\"name\":\"Kettle Narrows %u\",",
        bases[combination_has(chosen, CHOICE_HAND) ? 1 : 0], index);
    if (combination_has(chosen, CHOICE_BAR)) {
        add(&text, "\"lock\":{\"driven\":%s},", yes(combination_has(chosen, CHOICE_BAR_DRIVEN)));
    }
    add_contacts(&text, chosen);
    add(&text, ",\"sensors\":{\"position\":%s,\"current\":%s},\"tracks\":[",
        yes(combination_has(chosen, CHOICE_POSITION)),
        yes(combination_has(chosen, CHOICE_CURRENT)));
    add_track(&text, chosen);
    add(&text, "]}");
}

/* ---- what must come of it */

struct refusals {
    const char **places;
    size_t count;
};

static void refuse(struct refusals *refusals, const char *place) {
    assert_true(refusals->count < COMBINATION_PLACES_MAX);
    refusals->places[refusals->count++] = place;
}

/* A contact of a bar is a bar. */
static bool has_bar(combination chosen) {
    return combination_has(chosen, CHOICE_BAR) || combination_has(chosen, CHOICE_LOCKED) ||
           combination_has(chosen, CHOICE_WITHDRAWN);
}

static void refuse_bar(struct refusals *refusals, combination chosen) {
    bool is_driven = combination_has(chosen, CHOICE_BAR_DRIVEN);
    bool is_span_lifted_by_hand = combination_has(chosen, CHOICE_HAND);
    if (is_span_lifted_by_hand && is_driven) {
        refuse(refusals, "/lock/driven");
    }
    if (!has_bar(chosen) || is_driven) {
        return;
    }
    if (!combination_has(chosen, CHOICE_LOCKED)) {
        refuse(refusals, "/contacts/locked");
    }
    if (!is_span_lifted_by_hand && !combination_has(chosen, CHOICE_WITHDRAWN)) {
        refuse(refusals, "/contacts/withdrawn");
    }
}

static void refuse_span(struct refusals *refusals, combination chosen) {
    bool has_open = combination_has(chosen, CHOICE_OPEN);
    bool has_position = combination_has(chosen, CHOICE_POSITION);
    if (!combination_has(chosen, CHOICE_HAND)) {
        if (!has_open && !has_position) {
            refuse(refusals, "/contacts/open");
        }
        return;
    }
    if (has_position) {
        refuse(refusals, "/sensors/position");
    }
    if (combination_has(chosen, CHOICE_CURRENT)) {
        refuse(refusals, "/sensors/current");
    }
    bool has_second = has_open || combination_has(chosen, CHOICE_NEARLY_OPEN) ||
                      combination_has(chosen, CHOICE_RAILS) ||
                      combination_has(chosen, CHOICE_NEARLY_SEATED) || has_bar(chosen) ||
                      has_position;
    if (!has_second) {
        refuse(refusals, "/contacts/rails");
    }
}

static bool is_watched_whole(combination chosen) {
    return combination_has(chosen, CHOICE_SPAN_DETECTOR) &&
           combination_end_has(chosen, 0, CHOICE_STOP_DETECTOR) &&
           combination_end_has(chosen, 1, CHOICE_STOP_DETECTOR);
}

/* A signal that clears by itself needs every section that it leads over watched. */
static void refuse_automatic(struct refusals *refusals, combination chosen) {
    static const char *const places[] = {"/tracks/0/ends/0/stop detector",
                                         "/tracks/0/ends/1/stop detector"};
    if (!combination_end_has(chosen, 0, CHOICE_AUTOMATIC) &&
        !combination_end_has(chosen, 1, CHOICE_AUTOMATIC)) {
        return;
    }
    for (unsigned end = 0; end < 2; end++) {
        if (!combination_end_has(chosen, end, CHOICE_STOP_DETECTOR)) {
            refuse(refusals, places[end]);
        }
    }
    if (!combination_has(chosen, CHOICE_SPAN_DETECTOR)) {
        refuse(refusals, "/tracks/0/span detector");
    }
}

static void refuse_track(struct refusals *refusals, combination chosen) {
    bool is_time_known =
        combination_has(chosen, CHOICE_TRAINS) || combination_has(chosen, CHOICE_RUN_OUT);
    refuse_automatic(refusals, chosen);
    if (!is_watched_whole(chosen) && combination_has(chosen, CHOICE_BY_TIME) && !is_time_known) {
        refuse(refusals, "/tracks/0/run out");
    }
}

size_t combination_refusals(combination chosen, const char *places[COMBINATION_PLACES_MAX]) {
    struct refusals refusals = {.places = places};
    if (!combination_has(chosen, CHOICE_SEATED)) {
        refuse(&refusals, "/contacts/seated");
    }
    refuse_bar(&refusals, chosen);
    refuse_span(&refusals, chosen);
    refuse_track(&refusals, chosen);
    return refusals.count;
}

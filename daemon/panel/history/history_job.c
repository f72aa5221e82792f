#include "panel/history/history_job.h"

#include "base/who.h"
#include "panel/http/answer.h"
#include "plots/logbook_plots.h"
#include "plots/sizing_plots.h"
#include "plots/sizing_report.h"
#include "records/read/logbook.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char type_json[] = "application/json";
static const char type_svg[] = "image/svg+xml";

bool history_job_is_same(const struct history_want *one, const struct history_want *other) {
    return one->kind == other->kind && one->bridge == other->bridge &&
           one->number == other->number && strcmp(one->what, other->what) == 0;
}

/* --- what is given back */

static void give_json(struct history_yield *yield, int code, cJSON *json) {
    yield->code = code;
    yield->type = type_json;
    yield->bytes = json != NULL ? cJSON_PrintUnformatted(json) : NULL;
    yield->length = yield->bytes != NULL ? strlen(yield->bytes) : 0;
    cJSON_Delete(json);
}

static void give_error(struct history_yield *yield, int code, const char *words) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddStringToObject(json, "error", words);
    give_json(yield, code, json);
}

/* --- lists */

static void add_ms(cJSON *object, const char *name, uint64_t us) {
    if (us != 0) {
        cJSON_AddNumberToObject(object, name, (double)(us / 1000));
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static void add_number(cJSON *object, const char *name, double value) {
    if (isfinite(value)) {
        cJSON_AddNumberToObject(object, name, round(value * 1e3) / 1e3 + 0.0);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

/* As the panel or the link introduced itself; else by its number. */
static void add_who(cJSON *object, const struct logbook *logbook, int64_t run, int32_t who) {
    char words[ITEM_WORDS_SIZE + 16];
    who_words(who, words);
    for (size_t i = 0; who < 0 && i < logbook->events; i++) {
        const struct logbook_event *read = &logbook->event[i];
        if (read->run == run && read->event.kind == EVENT_SESSION_BEGAN && read->event.who == who) {
            snprintf(words, sizeof words, "%s", read->event.words);
        }
    }
    cJSON_AddStringToObject(object, "who", words);
}

static void add_openings(cJSON *json, const struct logbook *logbook) {
    cJSON *list = cJSON_AddArrayToObject(json, "openings");
    for (size_t i = 0; i < logbook->openings && i < HISTORY_OPENINGS_MAX; i++) {
        const struct logbook_opening *opening = &logbook->opening[logbook->openings - 1 - i];
        cJSON *row = cJSON_CreateObject();
        cJSON_AddNumberToObject(row, "number", (double)opening->number);
        add_ms(row, "asked_ms", opening->asked_us);
        add_ms(row, "open_ms", opening->open_us);
        add_ms(row, "ended_ms", logbook_has_ended(opening) ? opening->ended_us : 0);
        cJSON_AddStringToObject(row, "outcome", logbook_outcome_name(opening->outcome));
        cJSON_AddNumberToObject(row, "trains", opening->trains);
        add_number(row, "trains_s", (double)opening->trains_us * 1e-6);
        add_number(row, "most_a", opening->most_a);
        add_number(row, "mean_a", opening->mean_a);
        add_who(row, logbook, opening->run, opening->who);
        cJSON_AddItemToArray(list, row);
    }
}

static void add_faults(cJSON *json, const struct logbook *logbook) {
    cJSON *list = cJSON_AddArrayToObject(json, "faults");
    unsigned found = 0;
    for (size_t i = logbook->events; i > 0 && found < HISTORY_FAULTS_MAX; i--) {
        const struct logbook_event *read = &logbook->event[i - 1];
        if (read->event.kind != EVENT_FAULT) {
            continue;
        }
        cJSON *row = cJSON_CreateObject();
        cJSON_AddNumberToObject(row, "number", (double)read->number);
        add_ms(row, "at_ms", read->event.at_us);
        cJSON_AddStringToObject(row, "name", read->event.what);
        cJSON_AddStringToObject(row, "words", read->event.words);
        cJSON_AddItemToArray(list, row);
        found++;
    }
}

static const double hour_us = 3.6e9;

/* The last: the session that is going on. */
static void add_run(cJSON *json, const struct logbook *logbook) {
    if (logbook->runs == 0) {
        cJSON_AddNullToObject(json, "run");
        return;
    }
    const struct logbook_run *run = &logbook->run[logbook->runs - 1];
    cJSON *row = cJSON_AddObjectToObject(json, "run");
    add_ms(row, "began_ms", run->began_us);
    cJSON_AddNumberToObject(row, "openings", run->openings);
    cJSON_AddNumberToObject(row, "movements", run->movements);
    cJSON_AddNumberToObject(row, "faults", run->faults);
    cJSON_AddNumberToObject(row, "refusals", run->refusals);
    cJSON_AddNumberToObject(row, "stops", run->stops);
    add_number(row, "moved_h", (double)run->moved_us / hour_us);
}

static void add_service(cJSON *json, const struct logbook_service *service) {
    cJSON *row = cJSON_AddObjectToObject(json, "service");
    bool counts_openings = service->openings_most != 0;
    bool counts_time = service->moved_most_us != 0;
    add_ms(row, "since_ms", service->since_us);
    cJSON_AddNumberToObject(row, "openings", service->openings);
    add_number(row, "openings_most", counts_openings ? service->openings_most : (double)NAN);
    add_number(row, "moved_h", (double)service->moved_us / hour_us);
    add_number(row, "moved_most_h",
               counts_time ? (double)service->moved_most_us / hour_us : (double)NAN);
}

static void give_lists(struct history_yield *yield, const struct logbook *logbook) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddTrueToObject(json, "is_recorded");
    add_run(json, logbook);
    add_openings(json, logbook);
    add_faults(json, logbook);
    add_service(json, &logbook->service);
    give_json(yield, ANSWER_OK, json);
}

/* --- drawings */

struct canvas {
    FILE *out;
    char *bytes;
    size_t length;
};

static bool begin_canvas(struct canvas *canvas, struct history_yield *yield) {
    *canvas = (struct canvas){.bytes = NULL};
    canvas->out = open_memstream(&canvas->bytes, &canvas->length);
    if (canvas->out == NULL) {
        give_error(yield, ANSWER_UNAVAILABLE, "out of memory for a drawing");
    }
    return canvas->out != NULL;
}

static void give_canvas(struct canvas *canvas, struct history_yield *yield) {
    bool is_whole = fclose(canvas->out) == 0;
    *yield = (struct history_yield){ANSWER_OK, type_svg, canvas->bytes, canvas->length};
    if (!is_whole) {
        free(canvas->bytes);
        give_error(yield, ANSWER_UNAVAILABLE, "out of memory for a drawing");
    }
}

static void drop_canvas(struct canvas *canvas) {
    fclose(canvas->out);
    free(canvas->bytes);
}

static void draw_sizing(const struct config *config, const struct history_want *want,
                        struct history_yield *yield) {
    struct canvas canvas;
    struct sizing_report *report = malloc(sizeof *report);
    if (report == NULL) {
        give_error(yield, ANSWER_UNAVAILABLE, "out of memory for a drawing");
        return;
    }
    if (!begin_canvas(&canvas, yield)) {
        free(report);
        return;
    }
    sizing_report_of(config, want->bridge, report);
    if (sizing_plots_draw(canvas.out, report, want->what)) {
        give_canvas(&canvas, yield);
    } else {
        drop_canvas(&canvas);
        give_error(yield, ANSWER_NOT_FOUND, "this bridge does not have this drawing");
    }
    free(report);
}

static void draw_trend(const struct logbook *logbook, struct history_yield *yield) {
    struct canvas canvas;
    if (begin_canvas(&canvas, yield)) {
        logbook_plots_draw_openings(canvas.out, logbook);
        give_canvas(&canvas, yield);
    }
}

static void draw_opening(const struct logbook *logbook, struct store *store, int64_t number,
                         struct history_yield *yield) {
    struct canvas canvas;
    struct error error;
    const struct logbook_opening *opening = logbook_opening(logbook, number);
    if (opening == NULL) {
        give_error(yield, ANSWER_NOT_FOUND, "the record has no opening of this number");
        return;
    }
    if (!begin_canvas(&canvas, yield)) {
        return;
    }
    if (logbook_plots_draw_opening(canvas.out, logbook, opening, store, &error)) {
        give_canvas(&canvas, yield);
    } else {
        drop_canvas(&canvas);
        give_error(yield, ANSWER_UNAVAILABLE, error.what);
    }
}

/* --- all of it */

static void give_of_record(const struct history_want *want, struct logbook *logbook,
                           struct store *store, struct history_yield *yield) {
    switch (want->kind) {
    case HISTORY_LISTS:
        give_lists(yield, logbook);
        break;
    case HISTORY_TREND:
        draw_trend(logbook, yield);
        break;
    case HISTORY_OPENING:
        draw_opening(logbook, store, want->number, yield);
        break;
    case HISTORY_SIZING:
        break;
    }
}

/* A file that is not there yet, or broken, is nobody's end: it is told. */
static void read_record(const struct config *config, const struct history_want *want,
                        struct history_yield *yield) {
    struct store store = {NULL};
    struct logbook logbook;
    struct error error = {.what = "the record cannot be read"};
    memset(&logbook, 0, sizeof logbook);
    bool is_read =
        store_open_to_read(&store, config->record.file, &error) &&
        logbook_read(&logbook, &store, config->net.bridge[want->bridge].bus, 0, INT64_MAX, &error);
    if (is_read) {
        give_of_record(want, &logbook, &store, yield);
    } else {
        give_error(yield, ANSWER_UNAVAILABLE, error.what);
    }
    logbook_free(&logbook);
    store_close(&store);
}

void history_job_do(const struct config *config, const struct history_want *want,
                    struct history_yield *yield) {
    *yield = (struct history_yield){.code = ANSWER_INTERNAL};
    if (want->kind == HISTORY_SIZING) {
        draw_sizing(config, want, yield);
    } else {
        read_record(config, want, yield);
    }
}

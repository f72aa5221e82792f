#include "tools/drawtender/timetable/timetable.h"

#include "tools/drawtender/base/csv.h"
#include "tools/drawtender/base/duration.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum column { WHAT, NAME, AT, TAKES, TRACK, FROM, UNTIL, BOATS, COLUMNS };

enum { CLOCK_MAX = 2000, DAY_S = 86400 }; /* the protocol's own bound on the ratio */

static const char *const column_names[COLUMNS] = {"what",  "name", "at",    "takes",
                                                  "track", "from", "until", "boats"};

enum { KINDS = 9 };

struct reading {
    struct timetable *timetable;
    struct csv csv;
    int column[COLUMNS]; /* field; -1: not there */
    uint32_t dice;
    unsigned once[KINDS]; /* the line of what may stand once; 0: not yet */
};

static const char *field(const struct reading *reading, enum column column) {
    int index = reading->column[column];
    return index >= 0 && (size_t)index < reading->csv.fields ? reading->csv.field[index] : "";
}

static bool read_head(struct reading *reading, struct error *error) {
    for (int i = 0; i < COLUMNS; i++) {
        reading->column[i] = -1;
    }
    for (size_t i = 0; i < reading->csv.fields; i++) {
        int found = 0;
        while (found < COLUMNS && strcmp(reading->csv.field[i], column_names[found]) != 0) {
            found++;
        }
        if (found == COLUMNS && strpbrk(reading->csv.field[i], ";\t") != NULL) {
            return error_set(error, "",
                             "the columns are separated by %s: wanted commas; choose that "
                             "separator when you export CSV",
                             strchr(reading->csv.field[i], ';') != NULL ? "semicolons" : "tabs");
        }
        if (found == COLUMNS) {
            return error_set(error, "",
                             "no column '%.40s': there are what, name, at, takes, track, "
                             "from, until, boats",
                             reading->csv.field[i]);
        }
        if (reading->column[found] >= 0) {
            return error_set(error, "", "column '%s' twice", column_names[found]);
        }
        reading->column[found] = (int)i;
    }
    return (reading->column[WHAT] >= 0 && reading->column[TAKES] >= 0) ||
           error_set(error, "", "wanted columns what and takes at least");
}

static bool read_clock_time(const char *text, const char *what, int32_t *time_s,
                            struct error *error) {
    unsigned part[3] = {0, 0, 0};
    size_t parts = 0;
    const char *at = text;
    while (parts < 3 && at[0] >= '0' && at[0] <= '9') {
        part[parts] = (unsigned)(at[0] - '0');
        at++;
        if (at[0] >= '0' && at[0] <= '9') {
            part[parts] = part[parts] * 10 + (unsigned)(at[0] - '0');
            at++;
        }
        parts++;
        if (*at != ':') {
            break;
        }
        at++;
    }
    bool is_time = parts >= 2 && *at == '\0' && at[-1] != ':' && part[0] <= 23 && part[1] <= 59 &&
                   part[2] <= 59;
    *time_s = (int32_t)(part[0] * 3600 + part[1] * 60 + part[2]);
    return is_time ||
           error_set(error, "", "%s '%.40s' is not a time of day: wanted HH:MM or HH:MM:SS", what,
                     text);
}

static bool read_takes(const struct reading *reading, int32_t *ms, struct error *error) {
    uint32_t value;
    struct error inner;
    if (!duration_parse(field(reading, TAKES), &value, &inner)) {
        return error_set(error, "", "takes: %.200s", inner.what);
    }
    *ms = (int32_t)value;
    return true;
}

static bool read_seconds(const struct reading *reading, int32_t *seconds, struct error *error) {
    int32_t ms;
    bool is_read = read_takes(reading, &ms, error);
    *seconds = is_read ? ms / 1000 + (ms % 1000 > 0) : 0;
    return is_read;
}

/* The index of a name, new or known; `most` if there is no more room. */
static unsigned name_index(const char *name, char (*names)[TIMETABLE_NAME_SIZE], size_t *count,
                           size_t most) {
    for (size_t i = 0; i < *count; i++) {
        if (strcmp(names[i], name) == 0) {
            return (unsigned)i;
        }
    }
    if (*count < most) {
        snprintf(names[*count], TIMETABLE_NAME_SIZE, "%s", name);
        return (unsigned)(*count)++;
    }
    return (unsigned)most;
}

static bool read_call(const struct reading *reading, struct timetable_call *call,
                      struct error *error) {
    *call = (struct timetable_call){.line = reading->csv.line};
    const char *name = field(reading, NAME);
    if (strlen(name) >= TIMETABLE_NAME_SIZE - 8) {
        return error_set(error, "", "the name is longer than %d characters",
                         TIMETABLE_NAME_SIZE - 9);
    }
    snprintf(call->name, sizeof call->name, "%s", name[0] != '\0' ? name : field(reading, WHAT));
    return read_clock_time(field(reading, AT), "at", &call->at, error) &&
           read_seconds(reading, &call->takes, error);
}

static bool take_train(struct reading *reading, struct error *error) {
    struct timetable *timetable = reading->timetable;
    struct timetable_call call;
    if (timetable->plan.trains == PLAN_TRAINS_MAX) {
        return error_set(error, "", "more than %d trains", PLAN_TRAINS_MAX);
    }
    if (!read_call(reading, &call, error)) {
        return false;
    }
    const char *track = field(reading, TRACK);
    const char *from = field(reading, FROM);
    if (strlen(track) >= TIMETABLE_NAME_SIZE || strlen(from) >= TIMETABLE_NAME_SIZE) {
        return error_set(error, "", "a name is too long");
    }
    call.track = name_index(track, timetable->track, &timetable->tracks, PLAN_TRACKS_MAX);
    call.end = from[0] == '\0' ? 0 : name_index(from, timetable->end, &timetable->ends, 2);
    if (call.track == PLAN_TRACKS_MAX || call.end == 2) {
        return error_set(error, "", "more than %d tracks or 2 ends", PLAN_TRACKS_MAX);
    }
    timetable->train_call[timetable->plan.trains++] = call;
    return true;
}

static bool add_boat(struct timetable *timetable, const struct timetable_call *call,
                     struct error *error) {
    if (timetable->plan.boats == PLAN_BOATS_MAX) {
        return error_set(error, "", "more than %d boats", PLAN_BOATS_MAX);
    }
    timetable->boat_call[timetable->plan.boats++] = *call;
    return true;
}

static bool take_boat(struct reading *reading, struct error *error) {
    struct timetable_call call;
    return read_call(reading, &call, error) && add_boat(reading->timetable, &call, error);
}

/* 0 to `most` - 1, each as likely as the others to one part in 2^32 / most. A Weyl sequence through
 * the finalizer of MurmurHash3 (both from memory): seeds beside one another have nothing in common.
 * Whole numbers alone, so that every machine has the same boats. */
static int32_t roll(uint32_t *dice, int32_t most) {
    uint32_t bits = *dice += 0x9e3779b9u;
    bits = (bits ^ bits >> 16) * 0x85ebca6bu;
    bits = (bits ^ bits >> 13) * 0xc2b2ae35u;
    bits ^= bits >> 16;
    return (int32_t)((uint64_t)bits * (uint64_t)most >> 32);
}

static bool take_traffic(struct reading *reading, struct error *error) {
    struct timetable_call call;
    int32_t until;
    char *end = NULL;
    const char *text = field(reading, BOATS);
    unsigned long boats = strtoul(text, &end, 10);
    if (!read_call(reading, &call, error) ||
        !read_clock_time(field(reading, UNTIL), "until", &until, error)) {
        return false;
    }
    if (text[0] < '0' || text[0] > '9' || *end != '\0' || boats < 1 || boats > PLAN_BOATS_MAX) {
        return error_set(error, "", "boats '%.20s': wanted a number from 1 to %d", text,
                         PLAN_BOATS_MAX);
    }
    if (until <= call.at) {
        return error_set(error, "", "until is not later than at");
    }
    for (unsigned long i = 1; i <= boats; i++) {
        struct timetable_call boat = call;
        boat.at += roll(&reading->dice, until - call.at);
        snprintf(boat.name, sizeof boat.name, "%.38s %lu", call.name, i);
        if (!add_boat(reading->timetable, &boat, error)) {
            return false;
        }
    }
    return true;
}

static bool take_time(const struct reading *reading, struct bridge_time *time,
                      struct error *error) {
    snprintf(time->source, sizeof time->source, "line %u of the timetable", reading->csv.line);
    return read_takes(reading, &time->ms, error);
}

static bool take_opening(struct reading *reading, struct error *error) {
    return take_time(reading, &reading->timetable->times.opening, error);
}

static bool take_closing(struct reading *reading, struct error *error) {
    return take_time(reading, &reading->timetable->times.closing, error);
}

static bool take_approach(struct reading *reading, struct error *error) {
    return take_time(reading, &reading->timetable->times.approach, error);
}

static bool take_train_delay(struct reading *reading, struct error *error) {
    return read_seconds(reading, &reading->timetable->plan.most_delay_s, error);
}

static bool take_boat_wait(struct reading *reading, struct error *error) {
    return read_seconds(reading, &reading->timetable->boat_wait_s, error);
}

static bool take_clock(struct reading *reading, struct error *error) {
    char *end = NULL;
    const char *text = field(reading, TAKES);
    unsigned long clock = strtoul(text, &end, 10);
    if (text[0] < '0' || text[0] > '9' || *end != '\0' || clock < 1 || clock > CLOCK_MAX) {
        return error_set(error, "", "clock takes '%.20s': wanted a number from 1 to %d", text,
                         CLOCK_MAX);
    }
    reading->timetable->clock = (unsigned)clock;
    return true;
}

static bool is_first(struct reading *reading, size_t kind, struct error *error) {
    if (reading->once[kind] != 0) {
        return error_set(error, "", "%s is already given in line %u", field(reading, WHAT),
                         reading->once[kind]);
    }
    reading->once[kind] = reading->csv.line;
    return true;
}

static bool take_record(struct reading *reading, struct error *error) {
    static const struct {
        const char *what;
        bool (*take)(struct reading *reading, struct error *error);
        bool is_often;
    } kinds[KINDS] = {
        {"train", take_train, true},
        {"boat", take_boat, true},
        {"traffic", take_traffic, true},
        {"opening", take_opening, false},
        {"closing", take_closing, false},
        {"approach", take_approach, false},
        {"train-delay", take_train_delay, false},
        {"boat-wait", take_boat_wait, false},
        {"clock", take_clock, false},
    };
    const char *what = field(reading, WHAT);
    for (size_t i = 0; i < KINDS; i++) {
        if (strcmp(what, kinds[i].what) == 0) {
            return (kinds[i].is_often || is_first(reading, i, error)) &&
                   kinds[i].take(reading, error);
        }
    }
    return error_set(error, "",
                     "'%.30s' is not one of train, boat, traffic, opening, closing, "
                     "approach, train-delay, boat-wait, clock",
                     what);
}

static bool read_records(struct reading *reading, struct error *error) {
    struct error inner = {{0}, {0}};
    bool has_head = false;
    for (;;) {
        enum csv_event event = csv_next(&reading->csv, &inner);
        if (event == CSV_END) {
            return has_head || error_set(error, "", "the file is empty");
        }
        bool is_good = event == CSV_RECORD;
        if (is_good && reading->csv.fields > COLUMNS) {
            is_good = error_set(&inner, "", "more than %d fields", COLUMNS);
        }
        is_good = is_good && (has_head ? take_record(reading, &inner) : read_head(reading, &inner));
        has_head = true;
        if (!is_good) {
            char where[32];
            snprintf(where, sizeof where, "line %u", reading->csv.line);
            return error_set(error, where, "%s", inner.what);
        }
    }
}

static int by_time(const void *a, const void *b) {
    const struct timetable_call *left = a;
    const struct timetable_call *right = b;
    int order = (left->at > right->at) - (left->at < right->at);
    return order != 0 ? order : (left->line > right->line) - (left->line < right->line);
}

static void fill_plan(struct timetable *timetable) {
    struct plan *plan = &timetable->plan;
    plan->train = timetable->train;
    plan->boat = timetable->boat;
    qsort(timetable->train_call, plan->trains, sizeof timetable->train_call[0], by_time);
    qsort(timetable->boat_call, plan->boats, sizeof timetable->boat_call[0], by_time);
    for (size_t i = 0; i < plan->trains; i++) {
        const struct timetable_call *call = &timetable->train_call[i];
        plan->train[i] =
            (struct plan_train){.at = call->at, .takes = call->takes, .track = call->track};
    }
    for (size_t i = 0; i < plan->boats; i++) {
        const struct timetable_call *call = &timetable->boat_call[i];
        plan->boat[i] = (struct plan_boat){.at = call->at, .takes = call->takes};
    }
}

/* A time of the layout in whole seconds of the model, never shorter. */
static bool to_model(const struct bridge_time *time, unsigned clock, const char *what,
                     int32_t *seconds, struct error *error) {
    if (time->ms < 0) {
        return error_set(error, "", "there is no line '%s', and no --config%s to take it from",
                         what, strcmp(what, "approach") == 0 ? "" : " or --record");
    }
    int64_t model = ((int64_t)time->ms * clock + 999) / 1000;
    *seconds = model <= DAY_S ? (int32_t)model : 0;
    return model <= DAY_S || error_set(error, "", "%s is longer than a day of model time", what);
}

bool timetable_read(struct timetable *timetable, const char *text, uint32_t seed,
                    const struct bridge_times *better, struct error *error) {
    memset(timetable, 0, sizeof *timetable);
    bridge_times_clear(&timetable->times);
    timetable->clock = 1;
    timetable->boat_wait_s = PLAN_TIME_MAX_S;
    struct reading reading = {.timetable = timetable, .csv = {.next = text}, .dice = seed};
    struct plan *plan = &timetable->plan;
    if (!read_records(&reading, error)) {
        return false;
    }
    fill_plan(timetable);
    struct bridge_times *times = &timetable->times;
    if (better != NULL) {
        bridge_times_prefer(times, better);
    }
    return to_model(&times->opening, timetable->clock, "opening", &plan->opening_s, error) &&
           to_model(&times->closing, timetable->clock, "closing", &plan->closing_s, error) &&
           to_model(&times->approach, timetable->clock, "approach", &plan->approach_s, error);
}

bool timetable_plan(struct timetable *timetable, struct error *error) {
    struct error inner;
    if (plan_make(&timetable->plan, &inner)) {
        return true;
    }
    size_t wrong = timetable->plan.wrong_train;
    if (wrong == 0) {
        return error_set(error, "", "%s", inner.what);
    }
    const struct timetable_call *call = &timetable->train_call[wrong - 1];
    char where[32];
    snprintf(where, sizeof where, "line %u", call->line);
    return error_set(error, where, "%s comes while the train before it is still on the bridge",
                     call->name);
}

void timetable_clock(int32_t time_s, char out[16]) {
    int32_t whole = time_s < 0 ? time_s + DAY_S : time_s;
    snprintf(out, 16, "%02" PRId32 ":%02" PRId32 ":%02" PRId32, whole / 3600, whole / 60 % 60,
             whole % 60);
}

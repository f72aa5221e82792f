#include "tools/drawtender/timetable/timetable_json.h"

static void add_clock(cJSON *object, const char *name, int32_t time_s) {
    char clock[16];
    timetable_clock(time_s, clock);
    cJSON_AddStringToObject(object, name, clock);
}

static void add_time(cJSON *times, const char *name, const struct bridge_time *time,
                     int32_t model_s) {
    cJSON *object = cJSON_AddObjectToObject(times, name);
    cJSON_AddNumberToObject(object, "layout_s", time->ms / 1e3);
    cJSON_AddNumberToObject(object, "model_s", model_s);
    cJSON_AddStringToObject(object, "source", time->source);
}

static void add_opening(cJSON *openings, const struct timetable *timetable, size_t index) {
    const struct plan_opening *opening = &timetable->plan.opening[index];
    cJSON *object = cJSON_CreateObject();
    cJSON_AddItemToArray(openings, object);
    add_clock(object, "begins", opening->start);
    add_clock(object, "open", opening->open);
    add_clock(object, "lined", opening->lined);
}

static void add_train(cJSON *trains, const struct timetable *timetable, size_t index) {
    const struct plan_train *train = &timetable->plan.train[index];
    cJSON *object = cJSON_CreateObject();
    cJSON_AddItemToArray(trains, object);
    cJSON_AddStringToObject(object, "name", timetable->train_call[index].name);
    add_clock(object, "at", train->at);
    cJSON_AddNumberToObject(object, "delay_s", train->goes_at - train->at);
}

static void add_boat(cJSON *boats, const struct timetable *timetable, size_t index) {
    const struct plan_boat *boat = &timetable->plan.boat[index];
    int32_t wait_s = boat->passes_at - boat->at;
    cJSON *object = cJSON_CreateObject();
    cJSON_AddItemToArray(boats, object);
    cJSON_AddStringToObject(object, "name", timetable->boat_call[index].name);
    add_clock(object, "at", boat->at);
    cJSON_AddNumberToObject(object, "wait_s", wait_s);
    cJSON_AddNumberToObject(object, "opening", (double)boat->opening + 1);
    cJSON_AddBoolToObject(object, "is_conflict", wait_s > timetable->boat_wait_s);
}

cJSON *timetable_json(const struct timetable *timetable) {
    const struct plan *plan = &timetable->plan;
    cJSON *object = cJSON_CreateObject();
    cJSON_AddNumberToObject(object, "clock", timetable->clock);
    cJSON *times = cJSON_AddObjectToObject(object, "times");
    add_time(times, "opening", &timetable->times.opening, plan->opening_s);
    add_time(times, "closing", &timetable->times.closing, plan->closing_s);
    add_time(times, "approach", &timetable->times.approach, plan->approach_s);
    cJSON *openings = cJSON_AddArrayToObject(object, "openings");
    for (size_t i = 0; i < plan->openings; i++) {
        add_opening(openings, timetable, i);
    }
    cJSON *trains = cJSON_AddArrayToObject(object, "trains");
    for (size_t i = 0; i < plan->trains; i++) {
        add_train(trains, timetable, i);
    }
    cJSON *boats = cJSON_AddArrayToObject(object, "boats");
    for (size_t i = 0; i < plan->boats; i++) {
        add_boat(boats, timetable, i);
    }
    cJSON_AddNumberToObject(object, "boats_wait_s", (double)plan->waiting_s);
    return object;
}

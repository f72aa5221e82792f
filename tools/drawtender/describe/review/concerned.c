#include "tools/drawtender/describe/review/concerned.h"

#include <string.h>

enum { SUM_MOST = 8, PLACE_SIZE = 128 };

/* What goes into a value besides the answer that has its place. */
static const struct {
    const char *place;
    enum question_id id[SUM_MOST]; /* Q_NAME: no more */
} sums[] = {
    {"/leaf/masses/0/at", {Q_LENGTH, Q_DEPTH, Q_AXIS_UP, Q_MASS, Q_TIP_READING}},
    {"/leaf/counterweight",
     {Q_LENGTH, Q_MASS, Q_TIP_READING, Q_COUNTERWEIGHT, Q_COUNTERWEIGHT_BACK, Q_COUNTERWEIGHT_DOWN,
      Q_SEAT_READING}},
    {"/leaf/friction", {Q_LENGTH, Q_MASS, Q_COUNTERWEIGHT}},
    {"/leaf/seat", {Q_MASS}},
    {"/leaf/outline", {Q_LENGTH, Q_DEPTH, Q_AXIS_UP, Q_TAIL}},
    {"/room", {Q_CEILING, Q_FLOOR}},
    {"/drive/pinion/pitch", {Q_PINION_TEETH}},
    {"/drive/gearbox", {Q_GEAR_TEETH, Q_WORM_STARTS, Q_WORM_RATIO, Q_WORM_WHEEL}},
    {"/drive/worm", {Q_GEARBOX, Q_WORM_STARTS}},
    {"/motor/no-load speed",
     {Q_RUN_SPEED, Q_RUN_TURNS, Q_GEARBOX, Q_GEAR_TEETH, Q_WORM_RATIO, Q_WORM_WHEEL}},
    {"/motor/stall torque",
     {Q_RUN_VOLTAGE, Q_RUN_CURRENT, Q_RUN_SPEED, Q_RUN_TURNS, Q_HELD_VOLTAGE, Q_HELD_CURRENT}},
    {"/motor/stall current", {Q_RUN_VOLTAGE}},
    {"/motion",
     {Q_TRAVEL, Q_RISE, Q_DRUM, Q_GEARBOX, Q_FREE_SPEED, Q_RUN_SPEED, Q_RUN_TURNS, Q_SUPPLY}},
    {"/lock", {Q_LOCK, Q_LOCKED, Q_WITHDRAWN}},
    {"/contacts", {Q_LOCK}},
    {"/tracks/0/ends/0/stop length", {Q_TRAIN_SPEED, Q_ROLL, Q_PICKUP}},
    {"/tracks/0/ends/0/approach length", {Q_TRAIN_SPEED, Q_ROLL, Q_BRAKING}},
    {"/tracks/0/ends/0/name", {Q_ENDS}},
    {"/tracks/0/name", {Q_TRACKS}},
    {"/tracks/0/trains/coasting", {Q_TRAIN_SPEED}},
    {"/tracks/0/trains/braking", {Q_TRAIN_SPEED, Q_ROLL}},
    {"/tracks/0/trains/length", {Q_PICKUP}},
    {"/tracks/0/trains/slowest", {Q_TRAIN_SPEED}},
    {"/tracks/0/run out", {Q_TRAIN_LENGTH, Q_SLOWEST, Q_SPAN_TRACK, Q_APPROACH, Q_STOP_SECTION}},
    {"/wired/power stage", {Q_STAGE, Q_PWM, Q_LINES}},
    {"/wired/lock servo", {Q_LOCK_DRIVE, Q_LOCK_PWM}},
    {"/wired", {Q_WIRED, Q_CHIP, Q_LINES}},
};

/* All tracks are alike, and so are their ends: "/tracks/1/ends/0" is answered as "/tracks/0". */
static void make_alike(const char *where, char place[PLACE_SIZE]) {
    size_t length = 0;
    for (const char *at = where; *at != '\0' && length + 1 < PLACE_SIZE; at++) {
        bool is_index = at != where && at[-1] == '/' && at[0] >= '0' && at[0] <= '9';
        place[length++] = is_index ? '0' : *at;
    }
    place[length] = '\0';
}

/* Whether one is the other or an object around it. */
static bool is_within(const char *place, const char *whole) {
    size_t length = strlen(whole);
    return strncmp(place, whole, length) == 0 && (place[length] == '\0' || place[length] == '/');
}

static bool add(const struct answers *answers, enum question_id id, bool is_concerned[QUESTIONS]) {
    bool is_asked = answers_ask(answers, id) && answers->is_given[id];
    is_concerned[id] = is_concerned[id] || is_asked;
    return is_asked;
}

static bool add_all_of(const struct answers *answers, const char *place,
                       bool is_concerned[QUESTIONS]) {
    bool has_any = false;
    for (unsigned id = 0; id < QUESTIONS; id++) {
        const char *own = questions[id].place;
        if (own != NULL && (is_within(own, place) || is_within(place, own))) {
            has_any = add(answers, (enum question_id)id, is_concerned) || has_any;
        }
    }
    for (size_t i = 0; i < sizeof sums / sizeof sums[0]; i++) {
        for (size_t n = 0;
             is_within(place, sums[i].place) && n < SUM_MOST && sums[i].id[n] != Q_NAME; n++) {
            has_any = add(answers, sums[i].id[n], is_concerned) || has_any;
        }
    }
    return has_any;
}

void concerned_by(const struct answers *answers, const char *where, bool is_concerned[QUESTIONS]) {
    static const char bridge[] = "/bridges/0";
    char place[PLACE_SIZE] = "";
    memset(is_concerned, 0, QUESTIONS * sizeof is_concerned[0]);
    if (strncmp(where, bridge, sizeof bridge - 1) == 0) {
        make_alike(where + sizeof bridge - 1, place);
    }
    char *slash;
    while (!add_all_of(answers, place, is_concerned) && (slash = strrchr(place, '/')) != NULL &&
           slash != place) {
        *slash = '\0';
    }
}

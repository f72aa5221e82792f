/* A proposal for the terminals: each signal gets the next free line. */
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/json_put.h"

#include <stdlib.h>
#include <string.h>

enum { SIGNAL_SIZE = 112 };

struct terminals {
    const struct answers *answers;
    cJSON *inputs, *outputs;
    unsigned given; /* of the free lines */
};

/* Nothing is put where the lines do not reach: the reader then says what is not wired. */
static bool put_pin(struct terminals *terminals, cJSON *object, const char *key, bool is_input) {
    char line[16];
    if (!bridge_text_word(answers_value(terminals->answers, Q_LINES), terminals->given, line,
                          sizeof line)) {
        return false;
    }
    terminals->given++;
    cJSON *pin = json_put_object(object, key);
    cJSON_AddNumberToObject(pin, "line", (double)strtol(line, NULL, 10));
    if (is_input) { /* a contact that makes to ground: a broken wire reads as not made */
        cJSON_AddStringToObject(pin, "active", "low");
        cJSON_AddStringToObject(pin, "pull", "up");
    }
    return true;
}

static void put_signal(struct terminals *terminals, cJSON *list, const char *way,
                       const char *signal, const char *when) {
    cJSON *item = cJSON_CreateObject();
    cJSON_AddStringToObject(item, way, signal);
    if (when != NULL) {
        cJSON_AddStringToObject(item, "when", when);
    }
    if (put_pin(terminals, item, "pin", list == terminals->inputs)) {
        cJSON_AddItemToArray(list, item);
    } else {
        cJSON_Delete(item);
    }
}

static void put_contacts(struct terminals *terminals) {
    static const struct {
        const char *input;
        enum question_id id; /* a "yes" to it; NAME: always */
    } rows[] = {{"seated", Q_NAME},
                {"open", Q_OPEN},
                {"nearly-seated", Q_NEARLY_SEATED},
                {"nearly-open", Q_NEARLY_OPEN},
                {"within-travel", Q_OVERTRAVEL},
                {"locked", Q_LOCKED},
                {"withdrawn", Q_WITHDRAWN},
                {"stop-circuit", Q_STOP_CIRCUIT}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].id == Q_NAME || answers_is(terminals->answers, rows[i].id, "yes")) {
            put_signal(terminals, terminals->inputs, "input", rows[i].input, NULL);
        }
    }
    double rails = answers_number(terminals->answers, Q_RAILS);
    for (int i = 1; i <= rails && i <= 4; i++) {
        char name[SIGNAL_SIZE];
        snprintf(name, sizeof name, "rail-%d", i);
        put_signal(terminals, terminals->inputs, "input", name, NULL);
    }
}

/* TRACK.END.what, or TRACK.what where `end` is NULL. */
static void put_of_track(struct terminals *terminals, bool is_input, const char *track,
                         const char *end, const char *what) {
    char name[SIGNAL_SIZE];
    snprintf(name, sizeof name, "%s.%s%s%s", track, end != NULL ? end : "", end != NULL ? "." : "",
             what);
    put_signal(terminals, is_input ? terminals->inputs : terminals->outputs,
               is_input ? "input" : "output", name, NULL);
}

static void put_proofs(struct terminals *terminals, const char *track, const char *end) {
    static const struct {
        const char *what;
        enum question_id id;
        bool is_of_end;
    } rows[] = {{"approach", Q_APPROACH_DETECTOR, true}, {"stop", Q_STOP_DETECTOR, true},
                {"signal", Q_SIGNAL_PROOF, true},        {"power", Q_POWER_PROOF, true},
                {"span", Q_SPAN_DETECTOR, false},        {"span-power", Q_POWER_PROOF, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].is_of_end == (end != NULL) &&
            answers_is(terminals->answers, rows[i].id, "yes")) {
            put_of_track(terminals, true, track, end, rows[i].what);
        }
    }
}

/* Inputs of all tracks before outputs, so that neighbours are alike at the terminal strip. */
static void put_track(struct terminals *terminals, const char *track, bool is_input) {
    char end[SIGNAL_SIZE / 2];
    const char *ends = answers_value(terminals->answers, Q_ENDS);
    for (unsigned i = 0; bridge_text_word(ends, i, end, sizeof end); i++) {
        if (is_input) {
            put_proofs(terminals, track, end);
        } else {
            put_of_track(terminals, false, track, end, "signal");
            put_of_track(terminals, false, track, end, "power");
        }
    }
    if (is_input) {
        put_proofs(terminals, track, NULL);
    } else {
        put_of_track(terminals, false, track, NULL, "span-power");
    }
}

static void put_tracks(struct terminals *terminals, bool is_input) {
    char track[SIGNAL_SIZE / 2 - 8];
    const char *tracks = answers_value(terminals->answers, Q_TRACKS);
    for (unsigned i = 0; bridge_text_word(tracks, i, track, sizeof track); i++) {
        put_track(terminals, track, is_input);
    }
}

static void put_pwm(cJSON *object, const char *key, const char *chip, int channel) {
    cJSON *pwm = json_put_object(object, key);
    cJSON_AddStringToObject(pwm, "chip", chip);
    cJSON_AddNumberToObject(pwm, "channel", channel);
}

static void put_stage(struct terminals *terminals, cJSON *wired) {
    const char *kind = answers_value(terminals->answers, Q_STAGE);
    const char *pwm = answers_value(terminals->answers, Q_PWM);
    if (kind == NULL) {
        return;
    }
    cJSON *stage = json_put_object(wired, "power stage");
    cJSON_AddStringToObject(stage, "kind", kind);
    if (strcmp(kind, "relays") == 0) {
        put_pin(terminals, stage, "raise", false);
        put_pin(terminals, stage, "lower", false);
    } else if (pwm != NULL) {
        put_pwm(stage, "pwm", pwm, 0);
        if (strcmp(kind, "two-wire") == 0) {
            put_pwm(stage, "lower pwm", pwm, 1);
        } else {
            put_pin(terminals, stage, "direction", false);
        }
    }
    put_pin(terminals, stage, "enable", false);
}

/* The pulses are those of the usual ends of a servo's travel, less a little; commission corrects
 * nothing here: they are set by eye. */
static void put_lock(struct terminals *terminals, cJSON *wired) {
    const char *pwm = answers_value(terminals->answers, Q_LOCK_PWM);
    if (answers_is(terminals->answers, Q_LOCK_DRIVE, "relays")) {
        put_signal(terminals, terminals->outputs, "output", "lock", "driven");
        put_signal(terminals, terminals->outputs, "output", "lock", "withdrawn");
    }
    if (pwm == NULL) {
        return;
    }
    cJSON *servo = json_put_object(wired, "lock servo");
    put_pwm(servo, "pwm", pwm, 0);
    cJSON_AddStringToObject(servo, "driven", "1.8 ms");
    cJSON_AddStringToObject(servo, "withdrawn", "1.2 ms");
}

static void put_sensors(const struct answers *answers, cJSON *wired) {
    if (answers_ask(answers, Q_POSITION_DEVICE)) {
        cJSON *position = json_put_object(wired, "position");
        cJSON_AddStringToObject(position, "kind", "iio");
        json_put_answer(position, "device", answers, Q_POSITION_DEVICE);
        json_put_answer(position, "channel", answers, Q_POSITION_CHANNEL);
        json_put_answer(position, "at seat", answers, Q_AT_SEAT);
        json_put_answer(position, "at open", answers, Q_AT_OPEN);
    }
    if (answers_ask(answers, Q_CURRENT_DEVICE)) {
        cJSON *current = json_put_object(wired, "current");
        cJSON_AddStringToObject(current, "kind", "hwmon");
        json_put_answer(current, "device", answers, Q_CURRENT_DEVICE);
        json_put_answer(current, "channel", answers, Q_CURRENT_CHANNEL);
    }
}

void bridge_text_wired(cJSON *bridge, const struct answers *answers) {
    cJSON *wired = json_put_object(bridge, "wired");
    cJSON *chip = json_put_item(cJSON_AddArrayToObject(wired, "chips"));
    cJSON_AddStringToObject(chip, "name", "GPIO");
    json_put_answer(chip, "device", answers, Q_CHIP);
    struct terminals terminals = {.answers = answers,
                                  .inputs = cJSON_AddArrayToObject(wired, "inputs"),
                                  .outputs = cJSON_AddArrayToObject(wired, "outputs")};
    /* First, for what lines there are: without it nothing outside notices a hung daemon. */
    cJSON *heartbeat = json_put_object(wired, "heartbeat");
    put_pin(&terminals, heartbeat, "pin", false);
    put_contacts(&terminals);
    put_tracks(&terminals, true);
    put_stage(&terminals, wired);
    put_lock(&terminals, wired);
    put_tracks(&terminals, false);
    put_signal(&terminals, terminals.outputs, "output", "horn", NULL);
    put_sensors(answers, wired);
}

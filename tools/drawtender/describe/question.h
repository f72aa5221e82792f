/* question.h: what is asked about a bridge, as a table, in the order in which one stands before it.
 * The texts are data; interview.c asks them, bridge_text.c makes a configuration of the answers. */
#ifndef TOOLS_DRAWTENDER_QUESTION_H
#define TOOLS_DRAWTENDER_QUESTION_H

#include "config/reader/quantity.h"

#include <stdbool.h>

/* clang-format off */
#define QUESTION_LIST(X) \
    X(NAME) X(KIND) X(TRAVEL) X(RISE) X(LENGTH) X(DEPTH) X(AXIS_UP) \
    X(SECTOR_RADIUS) X(PIN_FORWARD) X(PIN_UP) X(PINION_BACK) X(PINION_UP) X(ROLLING_RADIUS) X(RACK) \
    X(DRUM) X(PARTS) X(SWING_RADIUS) \
    X(MASS) X(TIP_READING) X(COUNTERWEIGHT) X(COUNTERWEIGHT_BACK) X(COUNTERWEIGHT_DOWN) X(SEAT_READING) \
    X(ROPES) X(ROPE_WEIGHT) X(ROPE_SPAN_SIDE) X(ROPE_WEIGHT_SIDE) \
    X(PULL_UP) X(PULL_DOWN) X(SHAFT) X(LIFT_UP) X(LIFT_DOWN) X(PUSH) \
    X(CEILING) X(FLOOR) X(TAIL) \
    X(PINION_TEETH) X(TOOTH_SIZE) X(PINION_DIAMETER) \
    X(GEARBOX) X(GEAR_TEETH) X(WORM) X(WORM_RATIO) X(WORM_STARTS) X(WORM_WHEEL) X(LEAD_ANGLE) \
    X(WORM_DIAMETER) X(WORM_STEP) X(BRAKE) \
    X(MOTOR) X(MOTOR_VOLTAGE) X(FREE_SPEED) X(FREE_CURRENT) X(STALL_TORQUE) X(STALL_CURRENT) \
    X(RUN_VOLTAGE) X(RUN_CURRENT) X(RUN_SPEED) X(RUN_TURNS) X(HELD_VOLTAGE) X(HELD_CURRENT) \
    X(SUPPLY) X(SUPPLY_CURRENT) X(OPENING_TIME) \
    X(LOCK) X(LOCKED) X(WITHDRAWN) X(OPEN) X(NEARLY_SEATED) X(NEARLY_OPEN) X(OVERTRAVEL) X(STOP_CIRCUIT) X(RAILS) \
    X(POSITION) X(CURRENT) \
    X(TRACKS) X(ENDS) X(TRAIN_SPEED) X(ROLL) X(BRAKING) X(PICKUP) X(TRAIN_LENGTH) X(SLOWEST) \
    X(SPAN_TRACK) X(APPROACH) X(STOP_SECTION) \
    X(APPROACH_DETECTOR) X(STOP_DETECTOR) X(SPAN_DETECTOR) X(SIGNAL_PROOF) X(POWER_PROOF) \
    X(WIRED) X(CHIP) X(LINES) X(STAGE) X(PWM) X(LOCK_DRIVE) X(LOCK_PWM) X(POSITION_DEVICE) X(POSITION_CHANNEL) \
    X(AT_SEAT) X(AT_OPEN) X(CURRENT_DEVICE) X(CURRENT_CHANNEL) \
    X(WATCH)
/* clang-format on */

enum question_id {
#define X(id) Q_##id,
    QUESTION_LIST(X)
#undef X
        QUESTIONS
};

enum answer_form {
    ANSWER_TEXT,
    ANSWER_NAMES,   /* words, separated by blanks */
    ANSWER_NUMBERS, /* whole numbers, separated by blanks */
    ANSWER_PAIRS,   /* "12/48 10/40" */
    ANSWER_FOLDER,  /* its whole path */
    ANSWER_CHOICE,
    ANSWER_COUNT,
    ANSWER_MEASURE,
};

enum { QUESTION_CONDITIONS = 3 };

struct question {
    const char *name;    /* in a file of answers */
    const char *section; /* heading before it; NULL: goes on in the same */
    const char *ask;
    const char *why; /* it is asked; NULL: as the question before */
    enum answer_form form;
    enum quantity quantity; /* of a measure */
    const char *example;    /* of a measure; NULL: the quantity's */
    const char *words;      /* of a choice: what may be answered; of a measure: what else, "none" */
    const char *usual;      /* for Enter alone; NULL: there is no honest default */
    const char *measure;    /* for "?"; NULL: as for its place in the configuration */
    const char *assumed;    /* conservative answer for "?"; NULL: there is none */
    bool leads;             /* "?" stands: the questions after it measure the same otherwise */
    const char *place;      /* of its value in a bridge's configuration; NULL: in several */
    /* All must hold; none: always asked. */
    struct {
        enum question_id id;
        const char *answers; /* separated by blanks; with a '!' before: none of these */
    } only_if[QUESTION_CONDITIONS];
};

extern const struct question questions[QUESTIONS];

/* Returns the question of this name, or QUESTIONS. */
enum question_id question_find(const char *name);

/* Returns whether `word` is one of `words`, which are separated by blanks. */
bool question_has_word(const char *words, const char *word);

#endif

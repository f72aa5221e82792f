/* setup.h: what a bridge's stand is made of: its buttons and switches, its hand throttle, its
 * lamps. Plain settings, no pointers. Times in microseconds. */
#ifndef STAND_SETUP_H
#define STAND_SETUP_H

#include "core/data/request.h"
#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    STAND_CONTROLS_MAX = 32,
    STAND_DEVICES_MAX = 4,
    STAND_LAMPS_MAX = 48,
    STAND_ROWS_MAX = 2,
    STAND_PLACES_MAX = 128, /* of a row */
    STAND_HERTZ_MOST = 10000000
};

/* Kinds of control, a row each: its name, its word in a configuration, and what it asks for when it
 * is pressed. */
#define STAND_CONTROL_ROWS(ROW)                                                                    \
    ROW(RAISE, "raise", REQUEST_RAISE)                                                             \
    ROW(LOWER, "lower", REQUEST_LOWER)                                                             \
    ROW(STOP, "stop", REQUEST_STOP)                                                                \
    ROW(EMERGENCY_STOP, "emergency stop", REQUEST_EMERGENCY_STOP)                                  \
    ROW(ACKNOWLEDGE, "acknowledge", REQUEST_ACKNOWLEDGE)                                           \
    ROW(SEEN_CLEAR, "seen clear", REQUEST_SEEN_CLEAR)                                              \
    ROW(POWER_ON, "power on", REQUEST_POWER_ON)                                                    \
    ROW(POWER_OFF, "power off", REQUEST_POWER_OFF)                                                 \
    ROW(HORN, "horn", REQUEST_HORN_ON)                                                             \
    ROW(GRIP, "grip", REQUEST_NONE)                                                                \
    ROW(LAMP_TEST, "lamp test", REQUEST_NONE)                                                      \
    ROW(KEY_SWITCH, "key switch", REQUEST_NONE)                                                    \
    ROW(LOCAL, "local", REQUEST_NONE)

#define STAND_CONTROL_NAME(name, word, asks) STAND_##name,
#define STAND_CONTROL_WORD(name, word, asks) word,
enum stand_control_kind { STAND_CONTROL_ROWS(STAND_CONTROL_NAME) STAND_CONTROL_KINDS };

/* Whether it stays where it is put: its position counts at the start, too, and for any time. */
static inline bool stand_control_is_switch(enum stand_control_kind kind) {
    return kind == STAND_KEY_SWITCH || kind == STAND_LOCAL || kind == STAND_EMERGENCY_STOP;
}

/* A button or a switch: a contact at a GPIO line, or a key of an input device. */
struct stand_control {
    enum stand_control_kind kind;
    bool is_key;
    unsigned input;       /* a contact: index of terminals.input. An emergency stop's is made while
                             it is not pressed */
    unsigned device, key; /* a key: index of device[], and its code (linux/input-event-codes.h) */
    uint32_t debounce_us;
    uint32_t stuck_us; /* pressed for so long it is stuck; 0: it may be */
};

/* An input device of the kernel (evdev). */
struct stand_device {
    char name[WIRED_NAME_SIZE];   /* for people */
    char device[WIRED_PATH_SIZE]; /* its path, or the name that the kernel gives it */
    bool is_shared;               /* others may read its keys as well */
};

enum stand_throttle_kind {
    STAND_THROTTLE_NONE = 0,
    STAND_THROTTLE_POTENTIOMETER, /* a voltage through IIO */
    STAND_THROTTLE_ENCODER,       /* steps of a relative axis of an input device */
    STAND_THROTTLE_JOYSTICK       /* an absolute axis of an input device */
};

struct stand_throttle {
    enum stand_throttle_kind kind;
    bool is_voltage;   /* share is of the effort, not of the speed */
    double dead_share; /* below it the hand is at rest */
    char iio[WIRED_PATH_SIZE], channel[WIRED_NAME_SIZE];
    double down_v, rest_v, up_v; /* volts that mean full speed down, rest, full speed up */
    double least_v, most_v;      /* believable: beyond, a wire is broken */
    uint32_t poll_us;
    unsigned device, axis; /* index of device[]; code of the axis */
    bool is_inversed;      /* the axis counts the other way */
    double step_share;     /* encoder: of one step */
};

/* Kinds of lamp, a row each: its name and its word in a configuration; those without a word are
 * lines of a track. */
#define STAND_LAMP_ROWS(ROW)                                                                       \
    ROW(LINED, "lined")                                                                            \
    ROW(MOVING, "moving")                                                                          \
    ROW(OPEN, "open")                                                                              \
    ROW(FAULT, "fault")                                                                            \
    ROW(MAY_OPERATE, "key switch")                                                                 \
    ROW(IS_LOCAL, "local")

#define STAND_LAMP_NAME(name, word) STAND_LAMP_##name,
#define STAND_LAMP_WORD(name, word) word,
enum stand_lamp_kind {
    STAND_LAMP_ROWS(STAND_LAMP_NAME) STAND_LAMP_OF_BRIDGE,
    STAND_LAMP_APPROACH = STAND_LAMP_OF_BRIDGE, /* track, end: occupied */
    STAND_LAMP_STOP_SECTION,                    /* track, end: occupied */
    STAND_LAMP_SPAN_SECTION,                    /* track: occupied */
    STAND_LAMP_SIGNAL,                          /* track, end: shows proceed */
    STAND_LAMPS
};

enum stand_colour {
    STAND_WHITE = 0,
    STAND_RED,
    STAND_GREEN,
    STAND_YELLOW,
    STAND_BLUE,
    STAND_COLOURS
};

struct stand_lamp {
    enum stand_lamp_kind kind;
    unsigned track, end;
    struct wired_pin pin; /* of terminals.chip; not used: place of row */
    unsigned row, place;
    enum stand_colour colour; /* of a row that has colours */
};

enum stand_row_kind {
    STAND_ROW_SHIFT_REGISTER = 0, /* a bit for each lamp */
    STAND_ROW_ADDRESSABLE         /* a colour for each lamp */
};

/* Lamps one after the other at an SPI device of this computer. */
struct stand_row {
    char name[WIRED_NAME_SIZE];   /* for people */
    char device[WIRED_PATH_SIZE]; /* "/dev/spidev0.0" */
    enum stand_row_kind kind;
    unsigned places;
    unsigned hertz;
    double brightness; /* 0..1, of a row that has colours */
    bool is_inversed;  /* lit while the output is low */
};

struct stand_setup {
    bool is_there;
    struct wired_setup terminals; /* chips and inputs alone; input[].line has no meaning here */
    unsigned devices;
    struct stand_device device[STAND_DEVICES_MAX];
    unsigned controls;
    struct stand_control control[STAND_CONTROLS_MAX];
    struct stand_throttle throttle;
    unsigned rows;
    struct stand_row row[STAND_ROWS_MAX];
    unsigned lamps;
    struct stand_lamp lamp[STAND_LAMPS_MAX];
};

#endif

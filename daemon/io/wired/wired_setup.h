/* wired_setup.h: the terminals of a computer that a bridge is wired to: GPIO lines, PWM outputs,
 * serial lines, analogue inputs. Plain settings, no pointers. Times in microseconds. */
#ifndef IO_WIRED_SETUP_H
#define IO_WIRED_SETUP_H

#include "core/words/lines.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    WIRED_CHIPS_MAX = 8,
    WIRED_INPUTS_MAX = 64,
    WIRED_OUTPUTS_MAX = 64,
    WIRED_NAME_SIZE = 48,
    WIRED_PATH_SIZE = 128,
    WIRED_TEMPLATE_SIZE = 64,
    WIRED_GREETINGS_MAX = 8
};

/* Several GPIO lines of one device. */
struct wired_chip {
    char name[WIRED_NAME_SIZE];   /* for people */
    char device[WIRED_PATH_SIZE]; /* "/dev/gpiochip0", or the label or name that the kernel knows */
    uint32_t poll_us; /* read this often, as it has no interrupts; 0: its edges are events */
};

enum wired_pull { WIRED_PULL_AS_IS = 0, WIRED_PULL_UP, WIRED_PULL_DOWN, WIRED_PULL_NONE };

/* One GPIO line; `chip` is an index. */
struct wired_pin {
    bool is_used;
    unsigned chip;
    unsigned offset;    /* the line's number on its chip */
    bool is_active_low; /* made, clear, proved, on: while the line is low */
    enum wired_pull pull;
};

struct wired_input {
    unsigned line; /* a level of core/words/lines.h */
    struct wired_pin pin;
    struct wired_pin second; /* must say the same; not used: none */
    uint32_t differ_us;      /* longest time that the two may differ */
};

struct wired_output {
    unsigned line; /* an output of core/words/lines.h */
    enum line_when when;
    struct wired_pin pin;
};

/* One channel of a PWM chip in sysfs. */
struct wired_pwm {
    char chip[WIRED_PATH_SIZE]; /* the folder, such as "/sys/class/pwm/pwmchip0"; "": none */
    unsigned channel;
    uint32_t period_ns;
    bool is_inversed;
};

enum wired_motor_kind {
    WIRED_MOTOR_NONE = 0,
    WIRED_MOTOR_TWO_WIRE, /* pwm[0] raises, pwm[1] lowers */
    WIRED_MOTOR_PHASE,    /* pwm[0] is the effort, pin[0] the direction: on raises */
    WIRED_MOTOR_PULSE,    /* pwm[0] is the pulse of a radio-control speed controller */
    WIRED_MOTOR_RELAYS,   /* pin[0] raises, pin[1] lowers */
    WIRED_MOTOR_SERIAL    /* lines of text to a motor controller */
};

/* Lines of text to a motor controller: see base/text/line_template.h for what may stand in them. */
struct wired_serial {
    char device[WIRED_PATH_SIZE];
    unsigned baud; /* bits in a second */
    unsigned full; /* the number that means full effort */
    unsigned greetings;
    char greeting[WIRED_GREETINGS_MAX][WIRED_TEMPLATE_SIZE]; /* sent at the start, in turn */
    char drive[WIRED_TEMPLATE_SIZE];
    char stop[WIRED_TEMPLATE_SIZE];
    char raise_word[16], lower_word[16]; /* for {direction} */
    char reply[WIRED_TEMPLATE_SIZE];     /* what each reply line begins with; "": none comes */
    uint32_t reply_us;                   /* longest wait for it */
    uint32_t repeat_us; /* the last line is sent again this often; 0: only on change */
};

struct wired_motor {
    enum wired_motor_kind kind;
    struct wired_pwm pwm[2];
    struct wired_pin pin[2];
    struct wired_pin enable; /* of the power stage, or a relay in its supply */
    uint32_t dead_us;        /* at rest this long before it turns the other way */
    uint32_t arming_us;      /* pulse: neutral this long before it may leave it */
    uint32_t neutral_ns;     /* pulse */
    uint32_t raise_ns, lower_ns;
    double least_effort; /* relays: below this they stay at rest */
    struct wired_serial serial;
};

/* A lock bar on a radio-control servo: no pulses at rest. */
struct wired_lock {
    struct wired_pwm pwm; /* no chip: none */
    uint32_t driven_ns, withdrawn_ns;
};

/* Kinds of sensor, a row each: its name, its word in a configuration, and the prefix of what opens
 * and reads it in wired_sensor.c. What measures volts or amperes serves a position and a current;
 * what counts edges a position only, so that the words for a current are the first of those for a
 * position. */
#define WIRED_SENSORS_MEASURED(ROW)                                                                \
    ROW(IIO, "iio", iio)                                                                           \
    ROW(HWMON, "hwmon", hwmon)
#define WIRED_SENSORS_COUNTED(ROW) ROW(ENCODER, "encoder", encoder)

#define WIRED_SENSOR_NAME(name, word, source) WIRED_SENSOR_##name,
#define WIRED_SENSOR_WORD(name, word, source) word,
enum wired_sensor_kind {
    WIRED_SENSOR_NONE = 0,
    WIRED_SENSORS_MEASURED(WIRED_SENSOR_NAME) WIRED_SENSORS_COUNTED(WIRED_SENSOR_NAME)
};

/* Returns whether it measures volts or amperes. */
static inline bool wired_sensor_is_measured(enum wired_sensor_kind kind) {
    static const enum wired_sensor_kind measured[] = {WIRED_SENSORS_MEASURED(WIRED_SENSOR_NAME)};
    return kind != WIRED_SENSOR_NONE && kind <= sizeof measured / sizeof measured[0];
}

/* Returns whether it counts edges. */
static inline bool wired_sensor_is_counted(enum wired_sensor_kind kind) {
    return kind != WIRED_SENSOR_NONE && !wired_sensor_is_measured(kind);
}

/* A measured value, and when it no longer counts as a reading (S5). */
struct wired_sensor {
    enum wired_sensor_kind kind;
    char device[WIRED_PATH_SIZE];  /* folder in sysfs, or the name that the kernel gives it */
    char channel[WIRED_NAME_SIZE]; /* "voltage0", "current1" (IIO); "in1", "curr1" (hwmon) */
    double at_zero, at_one;        /* volts or amperes that mean 0 and 1, A or of the travel */
    double least, most;            /* believable, in the same: beyond, a wire is broken */
    double jump_per_s;             /* in A or of the travel: faster cannot be; 0: not watched */
    uint32_t frozen_us;            /* driven, and not a bit of change for so long; 0: not watched */
    uint32_t poll_us;
    struct wired_pin pin[2]; /* encoder: A, and B of a quadrature encoder */
    double counts;           /* encoder: edges from seated to open */
};

/* A changing level for an external watchdog relay. */
struct wired_heartbeat {
    struct wired_pin pin;
    uint32_t half_us; /* from change to change */
};

struct wired_setup {
    unsigned chips;
    struct wired_chip chip[WIRED_CHIPS_MAX];
    unsigned inputs;
    struct wired_input input[WIRED_INPUTS_MAX];
    unsigned outputs;
    struct wired_output output[WIRED_OUTPUTS_MAX];
    struct wired_motor motor;
    struct wired_lock lock;
    struct wired_sensor position;
    struct wired_sensor current;
    struct wired_heartbeat heartbeat;
};

#endif

/* simulation_setup.h: the make-believe world around one bridge, for the driver "simulated": lift,
 * contacts, tracks, trains and faults. Plain settings, no pointers; SI units throughout. Places of
 * the span are fractions of the whole travel (0 seated, 1 fully open), as in the core.
 * All zero is a world without trains or faults whose times and places are the defaults said below;
 * lift, balance, drive, motor and supply have none and must be filled in unless the span is lifted
 * by hand.
 */
#ifndef IO_SIMULATION_SETUP_H
#define IO_SIMULATION_SETUP_H

#include "core/data/setup.h"
#include "mechanics/balance/balance.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/motor.h"
#include "mechanics/lift/lift.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    SIMULATION_TRAINS_MAX = 8,
    SIMULATION_FAULTS_MAX = 16,
    SIMULATION_NAME_SIZE = 48,
    SIMULATION_WORDS_SIZE = 128
};

/* Motor, gears and leaf. Not read when the core's setup says that the span is lifted by hand. */
struct simulation_lift {
    struct lift lift;
    struct balance balance; /* its inertia, too, is the span's, counterweight included */
    struct drive drive;
    struct motor motor;
    double supply_v;            /* > 0 */
    double rotor_inertia_kg_m2; /* 0: 5e-6, about a 540-size rotor (from memory) */
    double friction_static;     /* of the trunnion: N.m; N for a vertical lift; >= 0 */
    double friction_running;    /* the same, once it moves; 0..friction_static */
    double brake_torque_nm;     /* holding brake on the motor's shaft; 0: none */
    double end_stop_frac;       /* hard stop beyond open, > 1; 0: 1.05. The seat is the stop at 0 */
    double hand_speed_frac_s;   /* of a span moved by hand; 0: 0.25 */
    double start_frac;          /* 0..1 */
    bool starts_unlocked;       /* the lock bar is withdrawn at the start */
    uint32_t lock_travel_us;    /* 0: 1 s */
    bool measures_position;     /* a position sensor is there */
    double position_noise_frac; /* standard deviation; 0: none */
    double position_quantum_frac; /* smallest step of the reading; 0: none */
    bool measures_current;        /* a current sensor is there */
    double current_noise_a;       /* standard deviation; 0: none */
    double current_quantum_a;     /* 0: none */
};

/* Where a contact makes; it breaks again `hysteresis_frac` away from there. */
struct simulation_contact {
    double makes_at_frac;
    double hysteresis_frac; /* > 0; 0: 0.002 */
};

struct simulation_contacts {
    struct simulation_contact seated;        /* made from here down; place 0: 0.002 */
    struct simulation_contact nearly_seated; /* made from here down; place 0: 0.05 */
    struct simulation_contact nearly_open;   /* made from here up; place 0: 0.95 */
    struct simulation_contact open;          /* made from here up; place 0: 0.998 */
    struct simulation_contact within_travel; /* made from here down; place 0: 1.02 */
    struct simulation_contact rail; /* every rail end; made from here down; place 0: 0.002 */
    uint32_t lamp_relay_us;         /* a signal's aspect is proved this much later; 0: 50 ms */
};

/* One track, from the start of end 0's approach section to the start of end 1's. A length of 0: the
 * section is not there. Names are those of the configuration. */
struct simulation_track {
    char name[SIMULATION_NAME_SIZE];
    char end_name[TRACK_ENDS][SIMULATION_NAME_SIZE];
    double approach_m[TRACK_ENDS]; /* up to the home signal */
    double stop_m[TRACK_ENDS];     /* from the home signal to the span */
    double span_m;
};

struct simulation_train {
    char name[SIMULATION_NAME_SIZE]; /* unique */
    unsigned track;
    unsigned from_end; /* 0 or 1: the end it comes from */
    double length_m;   /* > 0 */
    double pickup_m;   /* of it, from the front: draws current while any of this is on live rail */
    double speed_m_s;  /* at its throttle; > 0 */
    double acceleration_m_s2; /* 0: the same as braking */
    double braking_m_s2;      /* > 0 */
    double coasting_m_s2;  /* deceleration without current; 0: g * 0.004 = 0.0392, rolling alone */
    double start_before_m; /* front to home signal at the start */
    uint64_t start_us;     /* enters the layout this long after the start */
    uint64_t return_us;    /* comes back this long after it left at the far end; 0: never */
    uint64_t set_back_us;  /* the crew moves it by hand this long after it died; 0: never */
    double set_back_speed_m_s; /* 0: 0.1 */
    bool ignores_signals;      /* the crew does not look */
};

/* As the run-time command would say it, without "fault" and "on": "jam 0.4", "motor-open",
 * "contact-open seated". Names: sim_faults.h. */
struct simulation_fault {
    char words[SIMULATION_WORDS_SIZE];
    uint64_t after_us; /* switched on this long after the start; 0: from the start */
};

struct simulation_setup {
    struct simulation_lift lift;
    struct simulation_contacts contacts;
    struct simulation_track track[BRIDGE_TRACKS_MAX]; /* as many as in the core's setup */
    unsigned trains;
    struct simulation_train train[SIMULATION_TRAINS_MAX];
    unsigned faults;
    struct simulation_fault fault[SIMULATION_FAULTS_MAX];
    uint64_t seed; /* of the sensors' noise: the same seed, the same world */
};

#endif

/* sim_faults.h: what is wrong with the simulated world, by name. One table says what each fault
 * does; the parts of the simulator ask whether theirs is on. */
#ifndef IO_SIM_FAULTS_H
#define IO_SIM_FAULTS_H

#include "base/error.h"
#include "core/data/setup.h"
#include "io/simulated/simulation_setup.h"

#include <stdbool.h>
#include <stdint.h>

enum sim_fault {
    SIM_CONTACT_MADE = 0,  /* input: reads made (clear, proved) whatever the world does */
    SIM_CONTACT_OPEN,      /* input: reads open, as a broken wire does */
    SIM_CONTACT_BROKEN,    /* input: no usable reading */
    SIM_CONTACT_FLAPPING,  /* input: reads made and open by turns, SIM_FLAP_US each */
    SIM_CONTACT_LATE,      /* input: a change shows SIM_LATE_US after it came, if it lasts */
    SIM_CONTACT_INVERTED,  /* input: reads the contrary of what it should */
    SIM_CONTACTS_SWAPPED,  /* the wires of the seated and the open contact are exchanged */
    SIM_JAM,               /* fraction: the span cannot pass there; no value: stuck where it is */
    SIM_MOTOR_OPEN,        /* the motor's circuit is open: no current */
    SIM_MOTOR_REVERSED,    /* the motor turns the other way */
    SIM_MOTOR_RUNS_ON,     /* once driven it stays so, as with a welded relay */
    SIM_PINION_SLIPS,      /* the motor turns freely; the span stays where it is */
    SIM_BRAKE_STUCK,       /* the brake does not release */
    SIM_LOCK_STUCK,        /* the lock bar does not move */
    SIM_LOCK_WITHDRAWS,    /* the lock bar is driven withdrawn whatever is put out */
    SIM_SIGNAL_PROCEED,    /* signal: shows proceed whatever is put out */
    SIM_SIGNAL_STOP,       /* signal: shows stop whatever is put out */
    SIM_POWER_STUCK,       /* section: powered whatever is put out */
    SIM_POWER_DEAD,        /* section: without power whatever is put out */
    SIM_CURRENT_DEAD,      /* the current sensor reads 0 A */
    SIM_CURRENT_LOST,      /* the current sensor gives no reading */
    SIM_POSITION_FROZEN,   /* the position sensor stays at its last reading */
    SIM_POSITION_JUMPS,    /* fraction: the position sensor reads this much too far */
    SIM_POSITION_FLAPPING, /* fraction: reads right and this much too far by turns */
    SIM_POSITION_LATE,     /* reads anew only every SIM_LATE_US */
    SIM_POSITION_LOST,     /* the position sensor gives no reading */
    SIM_DEVICE_LOST,       /* no readings; outputs fall to safe and obey no more */
    SIM_TRAIN_BLIND,       /* train: does not obey signals */
    SIM_TRAIN_UNSTOPPABLE, /* train: obeys neither signals nor a dead section (own battery) */
    SIM_STOP_CIRCUIT,      /* the hard-wired stop circuit is broken */
    SIM_FAULTS
};

enum { SIM_FLAP_US = 100000, SIM_LATE_US = 1000000 };

struct sim_faults {
    uint64_t on[SIM_FAULTS]; /* a bit for each input, signal, section or train; else bit 0 */
    double value[SIM_FAULTS];
};

/* Numbers of signals and sections among a fault's bits. */
unsigned sim_faults_signal(unsigned track, unsigned end);
unsigned sim_faults_stop_section(unsigned track, unsigned end);
unsigned sim_faults_span_section(unsigned track);

/* Whether a bit from this one on is set in such a set: a step of the world looks into many that are
 * empty. */
static inline bool sim_faults_reach(uint64_t set, unsigned which) {
    return which < 64 && set >> which != 0;
}

bool sim_faults_is_on(const struct sim_faults *faults, enum sim_fault fault, unsigned which);

/* Reads "NAME [VALUE]" and switches that fault on or off. On an error `faults` is unchanged and
 * `error` says what was meant. `tracks` of `setup` are in use. */
bool sim_faults_switch(struct sim_faults *faults, const struct simulation_setup *setup,
                       unsigned tracks, const char *name, const char *value, bool on,
                       struct error *error);

/* "contact NAME made|open|broken|flapping|late|free": the contact faults of one input at once. */
bool sim_faults_set_contact(struct sim_faults *faults, const struct simulation_setup *setup,
                            unsigned tracks, const char *name, const char *reading,
                            struct error *error);

/* Finds an input by name. False with `error` if there is none. */
bool sim_faults_find_input(const struct simulation_setup *setup, unsigned tracks, const char *word,
                           unsigned *input, struct error *error);

/* The train of this name; a space may be written as a hyphen. False with `error` if there is none.
 */
bool sim_faults_find_train(const struct simulation_setup *setup, const char *name, unsigned *train,
                           struct error *error);

/* For tests. */
const char *sim_fault_name(enum sim_fault fault);

/* Whether what flaps reads wrong at this time of the world, and when that next changes; UINT64_MAX:
 * nothing flaps. */
bool sim_faults_is_flapped(uint64_t world_us);
uint64_t sim_faults_due_us(const struct sim_faults *faults, uint64_t world_us);

#endif

/* sim.h: the whole simulated world of one bridge, driven by the clock it is shown. The driver
 * "simulated" and the tests stand on this; no event loop, no clock of its own.
 *
 * Time goes on in steps of SIM_STEP_US on a grid of its own, so that nothing depends on how often
 * somebody looks. Where nothing moves, time is leapt over up to the next thing due. A gap of more
 * than SIM_STEPS_MAX steps in which something moves is walked in longer ones, each that part of
 * what is left: a gap of n steps takes about SIM_STEPS_MAX (1 + ln(n / SIM_STEPS_MAX)), and its end
 * is walked finely. The world is up to one step behind the time shown.
 */
#ifndef IO_SIM_H
#define IO_SIM_H

#include "base/error.h"
#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/setup.h"
#include "io/simulated/sim_faults.h"
#include "io/simulated/sim_late.h"
#include "io/simulated/sim_news.h"
#include "io/simulated/simulation_setup.h"
#include "io/simulated/world/sim_contacts.h"
#include "io/simulated/world/sim_lift.h"
#include "io/simulated/world/sim_lock.h"
#include "io/simulated/world/sim_track.h"
#include "io/simulated/world/sim_train.h"

#include <stdbool.h>
#include <stdint.h>

#define SIM_STEP_US 5000U
#define SIM_STEPS_MAX 4096U
#define SIM_WAKE_US 10000U

struct sim {
    struct bridge_setup bridge;
    struct simulation_setup setup; /* with defaults filled in */
    struct bridge_outputs outputs; /* as obeyed */
    struct sim_faults faults;
    struct sim_lift lift;
    struct sim_lock lock;
    struct sim_contacts contacts;
    struct sim_track track[BRIDGE_TRACKS_MAX];
    struct sim_train train[SIMULATION_TRAINS_MAX];
    struct sim_late late;
    struct sim_news news;
    double hand_to_frac;           /* where a hand is moving the span; NAN: none */
    double frozen_frac;            /* the position sensor's last good reading */
    double last_effort;            /* the last the lift was driven with */
    uint64_t hand_made, hand_open; /* a bit for each input that a hand works */
    uint32_t faults_due;           /* a bit for each fault of the setup still to come */
    bool has_begun;
    bool has_wrecked;  /* some train was ever on the span while it was not down */
    uint64_t begun_us; /* the time first shown: the world's zero */
    uint64_t now_us;   /* the time last shown, since then */
    uint64_t world_us; /* how far the world has come */
};

/* Sets the world up. On an error it says what is wrong with the setup and returns false. */
bool sim_begin(struct sim *sim, const struct bridge_setup *bridge,
               const struct simulation_setup *setup, struct error *error);

/* Lets the world go on to `now_us` (never backwards). */
void sim_advance(struct sim *sim, uint64_t now_us);

/* What the inputs show as the world is. */
void sim_sense(const struct sim *sim, struct bridge_inputs *inputs);

/* New outputs, from now on. */
void sim_act(struct sim *sim, const struct bridge_outputs *outputs);

/* SIM_WAKE_US while something moves, else the time until something is due; UINT32_MAX: at rest. */
uint32_t sim_wake_us(const struct sim *sim);

/* The span's true place, fraction of the travel. */
double sim_position_frac(const struct sim *sim);

/* What acts on the lift at present. */
struct sim_lift_drive sim_lift_drive(const struct sim *sim);

/* What the trains see of the world as it is; they tell `news` what they do (NULL: only to look). */
struct sim_surroundings sim_surroundings(const struct sim *sim, struct sim_news *news);

/* To be called after a fault came or went: what follows the outputs follows it, too. */
void sim_settle(struct sim *sim);

/* Run-time commands. On an error nothing is changed and `error` says what was wanted.
 *   fault NAME [VALUE] on|off     fault all off
 *   contact NAME made|open|broken|flapping|late|free
 *   contact NAME by-hand made|open|free         the contact itself, before its wires
 *   train NAME start|stop|reverse|gone
 *   span by-hand FRACTION         a span lifted by hand
 *   lock by-hand driven|withdrawn a lock without a drive */
bool sim_command(struct sim *sim, const char *words, struct error *error);

#endif

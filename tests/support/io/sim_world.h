/* sim_world.h: the Kettle Narrows drawbridge, simulated, and the core beside it in closed loop, in
 * time of the test's own: as the daemon runs it, without sockets and clocks. */
#ifndef SUPPORT_SIM_WORLD_H
#define SUPPORT_SIM_WORLD_H

#include "core/bridge.h"
#include "io/port.h"
#include "io/simulated/simulation_setup.h"

struct sim_world {
    struct bridge_setup bridge;
    struct simulation_setup simulation;
    const struct port_ops *ops;
    void *port;
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    uint64_t now_us;
    unsigned cycles;          /* how often the core was asked */
    uint64_t wrong_motion_us; /* how long the lift was driven while a train was on the bridge */
};

/* A leaf of 93.7 kg on a heel trunnion with operating strut, a 540-size motor, planetary and worm;
 * one track, "main" from "west" (0) to "east" (1), with every contact, detector and feedback. */
struct bridge_setup sim_world_bridge(void);

/* No trains, no faults, seated and locked. */
struct simulation_setup sim_world_simulation(void);

/* A gate across a doorway, lifted by hand; lock bar by hand. */
struct bridge_setup sim_world_hand_bridge(void);

/* A train from the west, 1.2 m long, 0.5 m/s, starting 3 m before its signal after 1 s. */
struct simulation_train sim_world_train(void);

/* Asserts that both setups are sound. */
void sim_world_start(struct sim_world *world, const struct bridge_setup *bridge,
                     const struct simulation_setup *simulation);
void sim_world_stop(struct sim_world *world);

/* One cycle now, as after an input's edge or a client's request; again while the phase changes. */
enum bridge_answer sim_world_ask(struct sim_world *world, enum bridge_request_kind kind,
                                 unsigned track, unsigned end);

/* Cycles whenever the core's or the port's timers want one. */
void sim_world_run_for(struct sim_world *world, uint64_t time_us);

/* The same until `phase` or the limit; returns whether it was reached. */
bool sim_world_run_to(struct sim_world *world, enum bridge_phase phase, uint64_t limit_us);

/* A run-time command, which must be taken, and a cycle. */
void sim_world_tell(struct sim_world *world, const char *words);

/* Takes all news so far; whether a line of them contains `words`. */
bool sim_world_heard(struct sim_world *world, const char *words);

bool sim_world_is_wrecked(const struct sim_world *world);

#endif

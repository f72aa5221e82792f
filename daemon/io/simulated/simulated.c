#include "io/simulated/simulated.h"

#include "io/simulated/world/sim.h"

#include <stddef.h>
#include <stdlib.h>

struct simulated {
    struct sim sim;
    const struct port_host *host;
};

static void *simulated_open(const struct port_settings *settings, const struct port_host *host,
                            struct error *error) {
    const struct simulation_setup *simulation = port_own(settings, simulated_ops.name);
    if (simulation == NULL) {
        error_set(error, "simulation", "missing: output is \"simulated\"");
        return NULL;
    }
    struct simulated *port = malloc(sizeof *port);
    if (port == NULL) {
        error_set(error, "simulation", "out of memory");
        return NULL;
    }
    port->host = host;
    if (!sim_begin(&port->sim, settings->setup, simulation, error)) {
        free(port);
        return NULL;
    }
    return port;
}

static void simulated_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct simulated *simulated = port;
    sim_advance(&simulated->sim, now_us);
    sim_sense(&simulated->sim, inputs);
}

static void simulated_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct simulated *simulated = port;
    sim_advance(&simulated->sim, now_us);
    sim_act(&simulated->sim, outputs);
}

static uint32_t simulated_wake_us(const void *port) {
    const struct simulated *simulated = port;
    return sim_wake_us(&simulated->sim);
}

static bool simulated_safe(void *port) {
    struct simulated *simulated = port;
    const struct bridge_outputs safe = {0};
    sim_act(&simulated->sim, &safe);
    /* Its outputs have fallen, but who is lost cannot say so. */
    return !sim_faults_is_on(&simulated->sim.faults, SIM_DEVICE_LOST, 0);
}

static void simulated_close(void *port) {
    free(port);
}

static bool simulated_simulate(void *port, const char *words, struct error *error) {
    struct simulated *simulated = port;
    if (!sim_command(&simulated->sim, words, error)) {
        return false;
    }
    if (simulated->host != NULL && simulated->host->changed != NULL) {
        simulated->host->changed(simulated->host->context);
    }
    return true;
}

/* Told to a copy of the world: whatever it would say, the world is as it was. */
static bool simulated_would_simulate(const void *port, const char *words, struct error *error) {
    const struct simulated *simulated = port;
    struct sim *copy = malloc(sizeof *copy);
    if (copy == NULL) {
        return error_set(error, "simulation", "out of memory");
    }
    *copy = simulated->sim;
    bool is_taken = sim_command(copy, words, error);
    free(copy);
    return is_taken;
}

static const char *simulated_news(void *port) {
    struct simulated *simulated = port;
    return sim_news_take(&simulated->sim.news);
}

const struct port_ops simulated_ops = {
    .name = "simulated",
    .open = simulated_open,
    .sense = simulated_sense,
    .act = simulated_act,
    .wake_us = simulated_wake_us,
    .safe = simulated_safe,
    .close = simulated_close,
    .simulate = simulated_simulate,
    .would_simulate = simulated_would_simulate,
    .news = simulated_news,
};

const struct sim *simulated_world(const void *port) {
    const struct simulated *simulated = port;
    return &simulated->sim;
}

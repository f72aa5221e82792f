/* edge_server.h: the daemon's loop, cycle, network and panel around a port of the bench's own: its
 * detector is a pipe, its outputs are a clock. Everything else is as in drawtenderd. */
#ifndef BENCH_EDGE_SERVER_H
#define BENCH_EDGE_SERVER_H

#include "bench/clients/rogues.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

enum { EDGES_MAX = 20000, TURNS_MAX = 100000, EDGE_PERIOD_US = 2000 };

struct edge_setup {
    const char *config;
    unsigned files;   /* most descriptors it may have; 0: what the bench has */
    bool is_apart;    /* keeps to CORES_SERVER, and the edges come from the others */
    bool is_realtime; /* asks for what drawtenderd asks for with --realtime */
};

/* Shared with the process that runs the server. */
struct edge_results {
    uint32_t wanted;
    atomic_bool is_done;
    uint32_t edges;
    double reaction_us[EDGES_MAX]; /* from the edge to signals at stop and power off */
    double own_us[EDGES_MAX];      /* of that, while the server had the processor */
    uint32_t turns;
    double late_us[TURNS_MAX]; /* how late each turn of the control cycle was (EDGE_PERIOD_US) */
    unsigned panel_port;
    bool is_realtime; /* the server was permitted it */
    struct rogues_tally rogues;
};

/* Serves until killed; the port's number goes to `report` as a text line. The edges are made by a
 * thread of its own: only within a process can a thread's processor time be read to the instant. It
 * stands for the interrupt of a contact, so it runs before everything else where that is permitted.
 * It makes `results->wanted` of them, 2.5 to 3.5 ms apart, once a byte comes from `start`. */
void edge_server_run(const struct edge_setup *setup, int report, int start,
                     struct edge_results *results);

#endif

/* bench.h: what the parts of the bench share, and the parts: one is a function that measures, and
 * prints rows of a table. A new part is a file, a line below, and a row of the array in bench.c. */
#ifndef BENCH_BENCH_H
#define BENCH_BENCH_H

enum { BENCH_ROUNDS = 5, BENCH_MANY = 1000 };

struct bench {
    char many[64]; /* a configuration: the quiet Kettle Narrows, for many sessions */
    char gate[64]; /* the garden gate likewise */
    unsigned edges;
};

/* A line that costs the server a look at a bridge, and its answer is as long as the echo's. */
extern const char bench_request[];

/* For child_serve(): drawtenderd with `many`, `context` being the bench; and the bare echo. */
void bench_daemon(void *context, int report);
void bench_echo(void *context, int report);

/* Writes a configuration like `many` whose bridge is a node of LCC, with a listener at this port.
 */
void bench_write_node(const struct bench *bench, unsigned port, char path[64]);

void bench_asking(const struct bench *bench);  /* round trip and throughput */
void bench_fan_out(const struct bench *bench); /* one line to 1,000 who listen */
void bench_memory(const struct bench *bench);  /* of a session */
void bench_rest(const struct bench *bench);    /* wake-ups with nothing to do */
void bench_reaction(
    const struct bench *bench);             /* from an edge to the outputs; the cycle's period */
void bench_held(const struct bench *bench); /* an emergency stop while others hold connections */
void bench_lcc(const struct bench *bench);  /* a bridge as a node of LCC, a flood of frames */
void bench_plan(const struct bench *bench); /* the planner of openings */

#endif

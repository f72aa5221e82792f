/* sockets.h: all sockets of a server as one event of the loop, and turns for the work that is left.
 *
 * The loop looks for a bridge's events again and again. Were each socket an event of its own, every
 * look would gather all clients that have something to say, a thousand perhaps, before it comes to
 * the bridge. Here a check costs the same however many wait, and a turn serves a few.
 *
 *   working ──must rest, and was busy nearly all of 10 ms──► resting ──1 ms──► working
 *
 * A process that runs before all others (SCHED_FIFO) and never rests is stopped by the kernel for
 * the last 50 ms of each second (sched(7): sched_rt_runtime_us), and its bridges with it. So the
 * network of such a process rests before; its bridges do not. */
#ifndef SOCKETS_SOCKETS_H
#define SOCKETS_SOCKETS_H

#include <stdbool.h>
#include <stdint.h>

struct event;
struct event_base;

/* One that somebody waits for. All zero but `fd`, `came` and `context` is not yet watched; it may
 * not move or go before it is unwatched. */
struct socket_watch {
    int fd;
    short what; /* of libevent's EV_READ, EV_WRITE, EV_CLOSED, and EV_ET; 0: not watched */
    void (*came)(void *context, short what);
    void *context;
};

/* In one turn: each costs some system calls, some 5 to 10 us. */
enum { SOCKETS_A_TURN = 8 };

struct sockets {
    int poll;
    unsigned watched; /* while there is none, nothing keeps the loop from its end */
    bool must_rest, is_resting;
    struct event *came, *turn, *rested;
    void (*take_turn)(void *context);
    void *context;
    struct socket_watch *batch[SOCKETS_A_TURN]; /* of this turn; NULL: unwatched meanwhile */
    uint64_t since_us, used_us; /* when it last looked how busy it was, and had been by then */
};

/* false: no memory, or no descriptor. `take_turn` is what sockets_ask_for_turn() asks for. */
bool sockets_init(struct sockets *sockets, struct event_base *base, bool must_rest,
                  void (*take_turn)(void *context), void *context);
void sockets_free(struct sockets *sockets);

/* From now on waits for `what`, 0: for nothing. With EV_ET what is there already comes once more.
 * An error comes as whatever is waited for. false: the kernel cannot, and nothing is waited for. */
bool sockets_watch(struct sockets *sockets, struct socket_watch *watch, short what);

/* Does what the loop does for these sockets, where no loop runs: waits `limit_ms` at the longest, 0
 * not at all, and serves those that are ready. */
void sockets_look(struct sockets *sockets, int limit_ms);

/* One turn, after the loop has looked for a bridge's events. Asked for twice it comes once. */
void sockets_ask_for_turn(struct sockets *sockets);

#endif

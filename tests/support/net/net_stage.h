/* net_stage.h: a server, its scripted host and its clients in one process and one event loop.
 * Clients are real TCP sockets on loopback. Nothing sleeps: who expects something turns the loop
 * until it is there (turning.h). */
#ifndef SUPPORT_NET_STAGE_H
#define SUPPORT_NET_STAGE_H

#include "support/net/net_host.h"
#include "support/net/turning.h"

#include <stdbool.h>
#include <stddef.h>

struct event;
struct event_base;

enum { STAGE_CLIENTS_MAX = 160 };
enum stage_listener { ADMINISTERS = 0, OPERATES, OBSERVES };

struct net_client {
    int fd;
    struct event *readable; /* NULL: not reading */
    char *bytes;            /* received */
    size_t taken, length, size;
    char line[2000]; /* the one taken last */
    bool is_at_end;
};

struct net_stage {
    struct turning turning;
    struct event_base *base; /* the turning's */
    struct net_setup setup;
    struct fake_host host;
    struct net_server *server;
    const char *from; /* see stage_from() */
    struct net_client client[STAGE_CLIENTS_MAX];
    unsigned clients;
};

/* Sets the stage up with fake_setup(); change stage->setup before stage_open() if need be. */
void stage_init(struct net_stage *stage, unsigned bridges);
void stage_open(struct net_stage *stage);
void stage_close(struct net_stage *stage);

/* A turn of the loop: waits until something happens. */
void stage_turn(struct net_stage *stage);

/* Until all has happened that can without another byte or a new layout time. */
void stage_settle(struct net_stage *stage);

/* Lets layout time pass; layout timers look at it then, and not by themselves before. */
void stage_pass_us(struct net_stage *stage, uint64_t us);
void stage_pass_s(struct net_stage *stage, uint64_t seconds);

/* Whoever connects to 127.0.0.1 from now on has this address of loopback; NULL: the usual one. */
void stage_from(struct net_stage *stage, const char *address);

/* Connects, and no more. */
struct net_client *stage_connect(struct net_stage *stage, enum stage_listener listener);

/* The same with small buffers, and not reading. */
struct net_client *stage_connect_slow(struct net_stage *stage, enum stage_listener listener);

/* Connects and goes through the handshake. */
struct net_client *stage_commander(struct net_stage *stage, enum stage_listener listener);

/* The same for INFO; the dump has been taken off. */
struct net_client *stage_listener(struct net_stage *stage);

void client_send(struct net_stage *stage, struct net_client *client, const char *bytes);
void client_send_bytes(struct net_stage *stage, struct net_client *client, const char *bytes,
                       size_t length);
/* Without turning the loop: returns how many bytes the kernel took. */
size_t client_try_send(struct net_client *client, const char *bytes, size_t length);
void client_start_reading(struct net_stage *stage, struct net_client *client);

/* Half-closes: sends no more. */
void client_send_end(struct net_client *client);

/* Closes both ways, at once; with a reset if `is_abrupt`. */
void client_leave(struct net_client *client, bool is_abrupt);

/* The next line without its end, time stamp included, or NULL at the end of the stream. */
const char *client_line(struct net_stage *stage, struct net_client *client);

/* The next line says this after its time stamp. */
void client_expect(struct net_stage *stage, struct net_client *client, const char *words);

/* The next line is this, time stamp included. */
void client_expect_whole(struct net_stage *stage, struct net_client *client, const char *line);

/* The server closes, having sent nothing more. */
void client_expect_end(struct net_stage *stage, struct net_client *client);

/* Nothing has come, nor will. */
void client_expect_nothing(struct net_stage *stage, struct net_client *client);

/* Sends the line and expects the answer. */
void client_ask(struct net_stage *stage, struct net_client *client, const char *line,
                const char *answer);

#endif

/* other_nodes.h: a hub, and behind it the nodes of config/other-nodes.json: a home signal, a
 * detector, a push button; in a thread of its own, for a real daemon that connects to it. They know
 * frames as text and nothing else of this project. */
#ifndef SUPPORT_OTHER_NODES_H
#define SUPPORT_OTHER_NODES_H

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

struct other_nodes {
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t shown; /* the signal shows something else */
    int listening;
    uint16_t port;
    int orders[2]; /* a pipe: frames to send, as text */
    atomic_bool is_at_proceed, is_occupied;
    atomic_uint stops; /* commanded */
    /* The thread's own. */
    int client; /* the daemon; -1: it is not there */
    char text[8192];
    unsigned length;
};

/* Listens on a free port; the signal shows proceed. */
void other_nodes_start(struct other_nodes *nodes);

/* Somebody presses a button: "0A44520000400000". */
void other_nodes_report(struct other_nodes *nodes, const char *event);

/* Waits until the signal shows it. */
void other_nodes_await_signal(struct other_nodes *nodes, bool is_at_proceed);

/* All of them are gone, and their hub. */
void other_nodes_end(struct other_nodes *nodes);

#endif

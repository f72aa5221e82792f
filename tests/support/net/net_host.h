/* net_host.h: a host for the network server that a test scripts: its views, its answers, its clock.
 */
#ifndef SUPPORT_NET_HOST_H
#define SUPPORT_NET_HOST_H

#include "net/server.h"

#include <stdbool.h>
#include <stdint.h>

enum { FAKE_BRIDGES = 2 };

struct fake_host {
    struct net_server *server; /* told of every change once it is there */
    uint64_t now_us;
    struct bridge_view view[FAKE_BRIDGES];
    enum bridge_answer answer;     /* to every request; granted ones take effect */
    struct bridge_request request; /* the last one asked */
    int32_t asker;                 /* its session */
    unsigned requests;             /* asked: not those of would() */
    char simulated[256];           /* words of the last SIMULATE */
    const char *kept_by_stand;     /* everything; NULL: nothing */
    const char *simulate_fault;    /* NULL: taken */
    unsigned stops;
    unsigned clock_changes; /* told of the layout's clock */
    int32_t session;        /* the last that began or ended, and in what words */
    bool has_begun;
    char session_words[256];
};

/* Both bridges lined for rail, powered, tracks clear, signals at stop. The clock stands at 1000 s.
 */
void fake_host_init(struct fake_host *fake);

/* `fake` as the server sees it. Its clock stands until it is set, and at its pace a microsecond
 * takes a second: no layout timer rings by itself that would only be set again. */
struct net_host fake_host_interface(struct fake_host *fake);

/* One bridge, the Kettle Narrows, on bus 1, or a second one on bus 2 too; one track with both ends,
 * all detectors, the addresses of the default map. Listeners on 127.0.0.1, port 0: 0 may
 * administer, 1 operate, 2 observe. */
void fake_setup(struct net_setup *setup, unsigned bridges);

/* A cycle: `change` does to the view what the world or the bridge did; then the server is told. */
void fake_host_cycle(struct fake_host *fake, unsigned bridge,
                     void (*change)(struct bridge_view *view));

/* Changes for fake_host_cycle(). */
void fake_sees_train_approach(struct bridge_view *view);
void fake_sees_train_gone(struct bridge_view *view);
void fake_starts_clearing(struct bridge_view *view);
void fake_is_open(struct bridge_view *view);
void fake_is_lined(struct bridge_view *view);
void fake_is_at_fault(struct bridge_view *view);

#endif

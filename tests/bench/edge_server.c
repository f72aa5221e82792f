#include "bench/edge_server.h"

#include "bench/cores.h"
#include "bench/figures.h"
#include "bridge/cycle.h"
#include "config/config.h"
#include "net/server.h"
#include "panel/panel.h"
#include "process/loop.h"
#include "process/realtime.h"

#include <event2/event.h>
#include <pthread.h>
#include <sched.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

enum { RECOVERY_US = 1000, SERVER_PRIORITY = 50, INTERRUPT_PRIORITY = 80 };

struct edge {
    uint64_t at_ns;
    uint64_t own_ns; /* processor time that the serving thread had had by then */
};

static struct {
    const struct edge_setup *setup;
    struct edge_results *results;
    struct config config;
    struct layout_clock clock;
    struct loop *loop;
    struct cycle *cycle;
    struct net_server *server;
    struct panel *panel;
    struct port_host host;
    int start, edges[2];
    clockid_t own_clock;
    struct event *edge;
    struct event *recovery;
    bool is_locked;   /* what the contact shows */
    struct edge last; /* not yet answered; all zero: none */
    uint64_t turn_us; /* when the last turn was due or came */
} self;

/* --- the edges */

static uint64_t own_now_ns(void) {
    struct timespec used;
    clock_gettime(self.own_clock, &used);
    return (uint64_t)used.tv_sec * 1000000000 + (uint64_t)used.tv_nsec;
}

/* Without the right to it the edges come late; but they are timed from when they come. */
static void be_an_interrupt(void) {
    struct sched_param first = {.sched_priority = INTERRUPT_PRIORITY};
    if (self.setup->is_apart) {
        cores_keep_to(CORES_LOAD);
    }
    pthread_setschedparam(pthread_self(), SCHED_FIFO, &first);
}

/* At irregular times, so that they fall anywhere in the server's work. */
static void *make_edges(void *context) {
    (void)context;
    char byte;
    be_an_interrupt();
    if (read(self.start, &byte, 1) != 1) {
        return NULL;
    }
    uint32_t random = 1;
    for (unsigned i = 0; i < self.results->wanted; i++) {
        random = random * 1664525u + 1013904223u;
        struct timespec rest = {.tv_nsec = 2500000 + (long)(random >> 12)};
        nanosleep(&rest, NULL);
        struct edge edge = {.own_ns = own_now_ns(), .at_ns = figures_now_ns()};
        if (write(self.edges[1], &edge, sizeof edge) != sizeof edge) {
            figures_fail("the edge was not taken");
        }
    }
    atomic_store(&self.results->is_done, true);
    return NULL;
}

static void start_edges(int start) {
    pthread_t maker;
    self.start = start;
    if (pipe(self.edges) != 0 || pthread_getcpuclockid(pthread_self(), &self.own_clock) != 0 ||
        pthread_create(&maker, NULL, make_edges, NULL) != 0) {
        figures_fail("no thread to be had");
    }
}

/* --- the port */

static bool is_safe(const struct bridge_outputs *outputs) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_outputs *end = &outputs->track[t].end[e];
            if (end->signal_proceed || end->stop_power) {
                return false;
            }
        }
    }
    return true;
}

static bool is_permissive(const struct bridge_outputs *outputs) {
    return outputs->track[0].end[0].signal_proceed && outputs->track[0].end[0].stop_power;
}

static void edge_came(evutil_socket_t fd, short what, void *context) {
    (void)what;
    (void)context;
    struct edge got;
    if (read(fd, &got, sizeof got) != sizeof got) {
        return;
    }
    if (!is_permissive(&cycle_view(self.cycle)->outputs)) {
        return; /* not yet lined again: no measurement */
    }
    self.last = got;
    self.is_locked = false;
    self.host.changed(self.host.context);
    static const struct timeval delay = {.tv_usec = RECOVERY_US};
    evtimer_add(self.recovery, &delay);
}

static void *port_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    (void)settings;
    (void)error;
    self.host = *host;
    self.is_locked = true;
    return &self;
}

static void all_in_order(struct bridge_inputs *inputs) {
    *inputs = (struct bridge_inputs){.seated = LEVEL_ON, .locked = LEVEL_ON, .open = LEVEL_OFF};
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        inputs->track[t].span_clear = LEVEL_ON;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            inputs->track[t].end[e] = (struct track_end_inputs){
                .approach_clear = LEVEL_ON, .stop_clear = LEVEL_ON, .signal_at_stop = LEVEL_ON};
        }
    }
}

static void port_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    (void)port;
    all_in_order(inputs);
    inputs->locked = self.is_locked ? LEVEL_ON : LEVEL_OFF;
    if (self.turn_us != 0 && now_us >= self.turn_us + EDGE_PERIOD_US &&
        self.results->turns < TURNS_MAX) {
        self.results->late_us[self.results->turns++] =
            (double)(now_us - self.turn_us - EDGE_PERIOD_US);
    }
    self.turn_us = now_us;
}

static void port_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    (void)port;
    (void)now_us;
    struct edge_results *results = self.results;
    if (self.last.at_ns != 0 && is_safe(outputs) && results->edges < EDGES_MAX) {
        double own_ns = (double)(own_now_ns() - self.last.own_ns);
        results->own_us[results->edges] = own_ns * 1e-3;
        results->reaction_us[results->edges++] =
            (double)(figures_now_ns() - self.last.at_ns) * 1e-3;
        self.last = (struct edge){0};
    }
}

static uint32_t port_wake_us(const void *port) {
    (void)port;
    return EDGE_PERIOD_US;
}

static bool port_safe(void *port) {
    (void)port;
    return true;
}

static void port_close(void *port) {
    (void)port;
}

static const struct port_ops ops = {
    .name = "edge",
    .open = port_open,
    .sense = port_sense,
    .act = port_act,
    .wake_us = port_wake_us,
    .safe = port_safe,
    .close = port_close,
};

/* --- the host */

static void ask(enum bridge_request_kind kind) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct bridge_request request = {.kind = kind, .end = e};
        cycle_ask(self.cycle, &request);
    }
}

static void recover(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    (void)context;
    self.is_locked = true;
    self.last = (struct edge){0};
    ask(REQUEST_ACKNOWLEDGE);
    ask(REQUEST_POWER_ON);
    ask(REQUEST_SIGNAL_PROCEED);
}

static uint64_t host_now_us(void *context) {
    (void)context;
    return clock_epoch_us(&self.clock);
}

static enum bridge_answer host_ask(void *context, int32_t session, unsigned bridge,
                                   const struct bridge_request *request) {
    (void)context;
    (void)session;
    (void)bridge;
    return cycle_ask(self.cycle, request);
}

static enum bridge_answer host_would(void *context, unsigned bridge,
                                     const struct bridge_request *request) {
    (void)context;
    (void)bridge;
    return cycle_would(self.cycle, request);
}

static const struct bridge_view *host_view(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
    return cycle_view(self.cycle);
}

static void stepped(void *context, unsigned bridge, const struct bridge_view *before,
                    const struct bridge_view *after, const struct cycle_step *step) {
    (void)context;
    if (self.server != NULL) {
        net_server_notify(self.server, bridge, before, after);
    }
    const struct panel_step told = {step->request, step->answer, 0};
    panel_notify(self.panel, bridge, before, after, &told);
}

static int32_t host_barred_by(void *context, unsigned bridge,
                              const struct bridge_request *request) {
    (void)context;
    return net_server_barred_by(self.server, bridge, request);
}

static void host_refused(void *context, unsigned bridge, const struct bridge_request *request,
                         const char *why) {
    (void)context;
    net_server_notify_refused(self.server, bridge, request, why);
}

static void host_visitor(void *context, int32_t who, bool begins, const char *words) {
    (void)context;
    (void)who;
    (void)begins;
    (void)words;
}

static struct panel *open_panel(struct event_base *base, struct error *error) {
    const struct panel_host host = {.version = "bench",
                                    .now_us = host_now_us,
                                    .pace = 1,
                                    .ask = host_ask,
                                    .would = host_would,
                                    .view = host_view,
                                    .barred_by = host_barred_by,
                                    .refused = host_refused,
                                    .visitor = host_visitor};
    self.config.panel = (struct panel_setup){.listeners = 1};
    self.config.panel.listener[0] = (struct panel_listener_setup){
        .address = "127.0.0.1", .right = PANEL_OPERATE, .clients_max = 128};
    return panel_new(base, &self.config, &host, error);
}

static void read_setup(const char *path) {
    static struct config_report report;
    if (!config_read_file(path, &self.config, &report)) {
        figures_fail("%s is not usable", path);
    }
    struct bridge_setup *setup = &self.config.net.bridge[0].setup;
    setup->debounce_us = 0; /* what the contact says is believed at once: the rest is ours */
    setup->clear_us = 0;
    self.config.net.listener[0].port = 0;
}

static void take_place(void) {
    struct rlimit files;
    getrlimit(RLIMIT_NOFILE, &files);
    if (self.setup->files > 0) {
        files.rlim_cur = self.setup->files;
        setrlimit(RLIMIT_NOFILE, &files);
    }
    cores_keep_to(self.setup->is_apart ? CORES_SERVER : CORES_ALL);
    self.results->is_realtime = self.setup->is_realtime && realtime_ask(SERVER_PRIORITY);
}

void edge_server_run(const struct edge_setup *place, int report, int start,
                     struct edge_results *results) {
    struct error error = {.what = ""};
    self.setup = place;
    self.results = results;
    signal(SIGPIPE, SIG_IGN);
    take_place();
    read_setup(place->config);
    start_edges(start);
    clock_start(&self.clock, 1);
    self.loop = loop_new();
    struct event_base *base = loop_base(self.loop);
    struct cycle_setup setup = {.port = &ops,
                                .settings = {.setup = &self.config.net.bridge[0].setup}};
    struct cycle_listener listener = {.stepped = stepped};
    self.cycle = cycle_new(self.loop, &self.clock, &setup, &listener, &error);
    struct net_host host = {.version = "bench",
                            .now_us = host_now_us,
                            .pace = 1,
                            .must_rest = place->is_realtime,
                            .ask = host_ask,
                            .would = host_would,
                            .view = host_view};
    self.server = net_server_new(base, &self.config.net, &host, &error);
    self.panel = open_panel(base, &error);
    if (self.cycle == NULL || self.server == NULL || self.panel == NULL) {
        figures_fail("%s: %s", error.where, error.what);
    }
    self.edge = event_new(base, self.edges[0], EV_READ | EV_PERSIST, edge_came, NULL);
    self.recovery = evtimer_new(base, recover, NULL);
    event_priority_set(self.edge, 0);
    event_priority_set(self.recovery, 0);
    event_add(self.edge, NULL);
    cycle_start(self.cycle, &(struct bridge_request){.kind = REQUEST_NONE});
    recover(-1, 0, NULL);
    results->panel_port = panel_port(self.panel, 0);
    dprintf(report, "port %u\n", net_server_port(self.server, 0));
    loop_run(self.loop);
}

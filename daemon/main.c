/* main.c: wiring: configuration, bridges, network; and the orderly stop. */
#include "base/invariant.h"
#include "base/log.h"
#include "bridge/cycle.h"
#include "bridge/doubts.h"
#include "bridge/guard_table.h"
#include "bridge/node_lines.h"
#include "bridge/record.h"
#include "bridge/step_log.h"
#include "bridge/wiring.h"
#include "bridge/wiring_drawing.h"
#include "config/changes.h"
#include "config/config.h"
#include "effects/scene/scene.h"
#include "effects/sound/player.h"
#include "io/drivers.h"
#include "io/port.h"
#include "lcc/lcc.h"
#include "net/server.h"
#include "panel/panel.h"
#include "process/alive.h"
#include "process/announcement.h"
#include "process/clock.h"
#include "process/crash.h"
#include "process/ending.h"
#include "process/loop.h"
#include "process/options.h"
#include "process/realtime.h"
#include "process/reload.h"
#include "process/signals.h"
#include "stand/stand.h"

#include <errno.h>
#include <event2/event.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sysexits.h>
#include <time.h>
#include <unistd.h>

struct daemon {
    struct options options;
    char **arguments; /* as they were given */
    struct config config;
    struct layout_clock clock;
    struct loop *loop;
    struct signals *signals;
    struct reload *reload;
    bool is_anew;              /* it ends to begin anew, with another configuration */
    struct net_server *server; /* NULL until it listens */
    struct panel *panel;       /* NULL: none, or not yet */
    struct lcc *lcc;           /* NULL: none, or not yet */
    unsigned lcc_links;        /* that are up */
    struct node_lines node_lines;
    struct recorder *recorder; /* NULL: no record is kept */
    int32_t asking;            /* the session whose request is being run; 0: none */
    struct alive *alive;       /* NULL until all runs */
    struct cycle *cycle[NET_BRIDGES_MAX];
    struct stand *stand[NET_BRIDGES_MAX];   /* NULL: none, or not yet */
    struct player *player[NET_BRIDGES_MAX]; /* NULL: no sound, or not yet */
    struct scene *scene[NET_BRIDGES_MAX];   /* NULL: none, or not yet */
};

/* ---- configuration */

static void print_complaints(const char *file, const char *kind, const struct config_list *list) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        const struct error *complaint = &list->complaint[i];
        const char *colon = complaint->where[0] != '\0' ? ": " : ""; /* "": the whole of it */
        fprintf(stderr, "%s: %s: %s%s%s\n", file, kind, complaint->where, colon, complaint->what);
    }
    if (list->count > config_list_kept(list)) {
        fprintf(stderr, "%s: and %zu more %ss\n", file, list->count - config_list_kept(list), kind);
    }
}

static void complain_of_file(const char *file, int why) {
    fprintf(stderr, "%s: %s\n", file, strerror(why));
    if (why == ENOENT) {
        fprintf(stderr,
                "Copy an example there (" DRAWTENDER_EXAMPLES
                ", or config/ of the source), adapt it to your bridge and check it: drawtenderd "
                "--config %s --check. All keys: drawtender.json(5). Without --config a simulated "
                "bridge runs.\n",
                file);
    }
}

static int read_config(struct daemon *daemon) {
    const char *file = daemon->options.config;
    if (file != NULL && access(file, R_OK) != 0) {
        complain_of_file(file, errno);
        return EX_NOINPUT;
    }
    struct config_report *report = calloc(1, sizeof *report);
    if (report == NULL) {
        return EX_OSERR;
    }
    bool is_usable = file != NULL ? config_read_file(file, &daemon->config, report)
                                  : config_demo(&daemon->config, report);
    const char *name = file != NULL ? file : "built-in demo";
    print_complaints(name, "error", &report->errors);
    print_complaints(name, "warning", &report->warnings);
    doubts_print(stderr, name, file, &daemon->config);
    free(report);
    return is_usable ? EX_OK : EX_CONFIG;
}

/* ---- what the network asks */

static uint64_t host_now_us(void *context) {
    return clock_epoch_us(&((struct daemon *)context)->clock);
}

static enum bridge_answer host_ask(void *context, int32_t session, unsigned bridge,
                                   const struct bridge_request *request) {
    struct daemon *daemon = context;
    INVARIANT(bridge < daemon->config.net.bridges);
    daemon->asking = session;
    enum bridge_answer answer = cycle_ask(daemon->cycle[bridge], request);
    daemon->asking = 0;
    return answer;
}

static enum bridge_answer host_would(void *context, unsigned bridge,
                                     const struct bridge_request *request) {
    return cycle_would(((struct daemon *)context)->cycle[bridge], request);
}

static const struct bridge_view *host_view(void *context, unsigned bridge) {
    return cycle_view(((struct daemon *)context)->cycle[bridge]);
}

static bool host_simulate(void *context, unsigned bridge, const char *words, struct error *error) {
    return cycle_simulate(((struct daemon *)context)->cycle[bridge], words, error);
}

static bool host_would_simulate(void *context, unsigned bridge, const char *words,
                                struct error *error) {
    return cycle_would_simulate(((struct daemon *)context)->cycle[bridge], words, error);
}

static void host_session(void *context, int32_t id, bool begins, const char *words) {
    struct daemon *daemon = context;
    recorder_session(daemon->recorder, clock_epoch_us(&daemon->clock), id, begins, words);
}

/* For the panel: the protocol's locks bar its requests too, and INFO sessions are told of those
 * that came to nothing. */
static int32_t host_barred_by(void *context, unsigned bridge,
                              const struct bridge_request *request) {
    return net_server_barred_by(((struct daemon *)context)->server, bridge, request);
}

static void host_refused(void *context, unsigned bridge, const struct bridge_request *request,
                         const char *why) {
    net_server_notify_refused(((struct daemon *)context)->server, bridge, request, why);
}

/* For everybody but the stand. */
static const char *host_kept_by_stand(void *context, unsigned bridge,
                                      const struct bridge_request *request) {
    return stand_refuses(((struct daemon *)context)->stand[bridge], request);
}

static unsigned host_lcc_links(void *context) {
    return ((struct daemon *)context)->lcc_links;
}

static void host_links(void *context, unsigned up) {
    struct daemon *daemon = context;
    daemon->lcc_links = up;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        panel_bars_changed(daemon->panel, i);
    }
}

static void host_said(void *context, unsigned bridge, const struct lcc_said *said) {
    node_lines_said(&((struct daemon *)context)->node_lines, bridge, said);
}

static void host_lines_came(void *context) {
    node_lines_came(&((struct daemon *)context)->node_lines);
}

/* A clock that runs backwards stands, and steps back at each report. */
static void host_clock(void *context, const struct lcc_clock *layout, uint64_t now_us) {
    struct daemon *daemon = context;
    int rate = lcc_clock_rate(layout);
    uint64_t days_us = (uint64_t)(layout->day + 1) * LCC_CLOCK_DAY_S * 1000000;
    int64_t time_us = lcc_clock_time_us(layout, now_us);
    bool is_whole = rate % 4 == 0;
    const struct net_clock clock = {
        .model_us = days_us + (uint64_t)time_us,
        .fx = rate <= 0 ? 0 : (uint32_t)(is_whole ? rate / 4 : rate),
        .fy = is_whole ? 1 : 4,
    };
    if (daemon->server != NULL) {
        net_server_follow(daemon->server, &clock);
    }
}

static const char *host_name(void *context, unsigned bridge) {
    return ((struct daemon *)context)->config.net.bridge[bridge].name;
}

/* For the stand: hands and lamps go by real time. */
static uint64_t host_real_us(void *context) {
    struct timespec now;
    (void)context;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static void host_turn(void *context) {
    loop_bridge_turn(((struct daemon *)context)->loop);
}

static void host_bars_changed(void *context, unsigned bridge) {
    panel_bars_changed(((struct daemon *)context)->panel, bridge);
}

/* For scenes: what hour it is on the layout. */
static bool host_minute(void *context, unsigned *minute, uint64_t *next_us) {
    return net_server_minute(((struct daemon *)context)->server, minute, next_us);
}

static void host_clock_changed(void *context) {
    struct daemon *daemon = context;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        scene_look(daemon->scene[i]);
    }
}

static void host_stop(void *context) {
    log_line(LOG_NOTICE, "a client shut the server down");
    /* After what else is due: the client is still answered. */
    event_base_loopexit(loop_base(((struct daemon *)context)->loop), NULL);
}

/* ---- what the bridges tell */

static void on_step(void *context, unsigned bridge, const struct bridge_view *before,
                    const struct bridge_view *after, const struct cycle_step *step) {
    struct daemon *daemon = context;
    step_log(&daemon->config.net.bridge[bridge], before, after);
    const struct recorder_step kept = {.at_us = clock_epoch_us(&daemon->clock),
                                       .dt_us = step->dt_us,
                                       .request = step->request,
                                       .answer = step->answer,
                                       .who = daemon->asking,
                                       .before = before,
                                       .after = after};
    recorder_take(daemon->recorder, bridge, &kept);
    if (daemon->server != NULL) {
        net_server_notify(daemon->server, bridge, before, after);
    }
    const struct panel_step told = {step->request, step->answer, daemon->asking};
    panel_notify(daemon->panel, bridge, before, after, &told);
    lcc_notify(daemon->lcc, bridge, after);
    stand_notify(daemon->stand[bridge], after);
    scene_notify(daemon->scene[bridge], after);
    if (daemon->player[bridge] != NULL) {
        player_notify(daemon->player[bridge], clock_now_us(&daemon->clock), before, after);
    }
}

static void on_news(void *context, unsigned bridge, const char *words) {
    struct daemon *daemon = context;
    const struct net_bridge_setup *setup = &daemon->config.net.bridge[bridge];
    log_line(LOG_NOTICE, "%s: %s", setup->name, words);
    recorder_news(daemon->recorder, clock_epoch_us(&daemon->clock), bridge, words);
    if (daemon->server != NULL) {
        char line[256];
        snprintf(line, sizeof line, "%u %s", setup->bus, words);
        net_server_say(daemon->server, "TRAIN", line);
    }
    panel_say(daemon->panel, bridge, words);
}

/* ---- start and stop */

static void on_signal(void *context, const char *name) {
    log_line(LOG_NOTICE, "%s: stopping", name);
    loop_end(((struct daemon *)context)->loop);
}

static int fail(const struct error *error, int status) {
    log_line(LOG_ERROR, "%s%s%s", error->where, error->where[0] != '\0' ? ": " : "", error->what);
    return status;
}

/* The new configuration is in order: whether it may be taken is the bridges' to say. */
static void on_checked(void *context) {
    struct daemon *daemon = context;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
        struct line_track tracks[BRIDGE_TRACKS_MAX];
        char why[128];
        net_name_tracks(net, tracks);
        if (!reload_may(&net->setup, cycle_view(daemon->cycle[i]), tracks, why, sizeof why)) {
            log_line(LOG_WARNING, "reload: not applied, nothing has changed: %s: %s", net->name,
                     why);
            return;
        }
    }
    log_line(LOG_NOTICE, "reload: applied: all bridges are lined and at rest, and restart");
    daemon->is_anew = true;
    signals_hold();
    loop_end(daemon->loop);
}

static int open_loop(struct daemon *daemon) {
    daemon->loop = loop_new();
    if (daemon->loop == NULL) {
        log_line(LOG_ERROR, "cannot create the event loop");
        return EX_OSERR;
    }
    daemon->signals = signals_new(loop_base(daemon->loop), on_signal, daemon);
    if (daemon->signals == NULL) {
        log_line(LOG_ERROR, "cannot catch signals");
        return EX_OSERR;
    }
    struct error error = {0};
    daemon->reload =
        reload_new(loop_base(daemon->loop), daemon->options.config, on_checked, daemon, &error);
    if (daemon->reload == NULL) {
        return fail(&error, EX_OSERR);
    }
    crash_guard(daemon->cycle, daemon->config.net.bridges);
    return EX_OK;
}

static int open_bridge(struct daemon *daemon, unsigned i) {
    const struct config_bridge *bridge = &daemon->config.bridge[i];
    const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    net_name_tracks(net, tracks);
    const struct nodes_given nodes = node_lines_given(&daemon->node_lines, i, &bridge->nodes);
    const struct port_own own[] = {
        {"simulated", bridge->has_simulation ? &bridge->simulation : NULL},
        {"composite", bridge->has_lines ? &bridge->composite : NULL},
        {"link", bridge->links > 0 ? bridge->link : NULL},
        {"nodes", bridge->has_nodes ? &nodes : NULL},
        {"wired", bridge->has_wired ? &bridge->wired : NULL},
        {NULL, NULL},
    };
    struct cycle_setup setup = {
        .bridge = i,
        .port = drivers_find(bridge->output),
        .settings =
            {
                .setup = &net->setup,
                .own = own,
                .tracks = tracks,
                .is_dry = daemon->options.is_dry,
                .find = drivers_find,
            },
    };
    struct error error = {0};
    if (setup.port == NULL) {
        error_set(&error, net->name, "no output driver is called \"%s\"", bridge->output);
        return fail(&error, EX_CONFIG);
    }
    if (daemon->options.is_dry && !setup.port->can_run_dry) {
        error_set(&error, net->name, "the driver \"%s\" has no dry run", bridge->output);
        return fail(&error, EX_CONFIG);
    }
    struct cycle_listener listener = {.context = daemon, .stepped = on_step, .news = on_news};
    daemon->cycle[i] = cycle_new(daemon->loop, &daemon->clock, &setup, &listener, &error);
    return daemon->cycle[i] != NULL ? EX_OK : fail(&error, EX_IOERR);
}

/* The first that has one. */
static void take_port(struct net_setup *net, long port) {
    for (unsigned i = 0; port >= 0 && i < net->listeners; i++) {
        if (net->listener[i].address[0] != '/') {
            net->listener[i].port = (uint16_t)port;
            return;
        }
    }
}

/* A port that the system chooses for the one is wanted for the other too, unless it is said. */
static void take_panel_port(struct panel_setup *panel, const struct options *options) {
    long port = options->panel_port < 0 && options->port == 0 ? 0 : options->panel_port;
    if (port >= 0 && panel->listeners > 0) {
        panel->listener[0].port = (uint16_t)port;
    }
    for (unsigned i = 1; port == 0 && i < panel->listeners; i++) {
        panel->listener[i].port = 0;
    }
}

/* As many descriptors as the clients want, if the system lets us; if not, clients wait. */
static void ask_for_descriptors(const struct config *config) {
    enum { OTHERS = 64 };
    rlim_t wanted = net_server_descriptors(&config->net) + panel_descriptors(&config->panel) +
                    lcc_descriptors(&config->lcc) + OTHERS;
    struct rlimit limit;
    if (getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur >= wanted) {
        return;
    }
    limit.rlim_cur = limit.rlim_max < wanted ? limit.rlim_max : wanted;
    setrlimit(RLIMIT_NOFILE, &limit);
    if (limit.rlim_cur < wanted) {
        log_line(LOG_WARNING,
                 "%u sessions and the panels need %lu file descriptors, the system allows %lu",
                 config->net.sessions_max, (unsigned long)wanted, (unsigned long)limit.rlim_cur);
    }
}

static void log_listeners(const struct daemon *daemon) {
    const struct net_setup *net = &daemon->config.net;
    for (unsigned i = 0; i < net->listeners; i++) {
        unsigned port = net_server_port(daemon->server, i);
        if (port == 0) {
            log_line(LOG_NOTICE, "listening on %s", net->listener[i].address);
        } else {
            log_line(LOG_NOTICE, "listening on %s port %u", net->listener[i].address, port);
        }
    }
}

static int open_network(struct daemon *daemon) {
    struct net_setup *net = &daemon->config.net;
    take_port(net, daemon->options.port);
    ask_for_descriptors(&daemon->config);
    struct net_host host = {
        .context = daemon,
        .version = DRAWTENDER_VERSION,
        .now_us = host_now_us,
        .pace = daemon->options.pace,
        .must_rest = daemon->options.realtime > 0,
        .ask = host_ask,
        .would = host_would,
        .kept_by_stand = host_kept_by_stand,
        .view = host_view,
        .simulate = host_simulate,
        .would_simulate = host_would_simulate,
        .session = host_session,
        .lock_changed = host_bars_changed,
        .clock_changed = host_clock_changed,
        .stop = host_stop,
    };
    struct error error = {0};
    daemon->server = net_server_new(loop_base(daemon->loop), net, &host, &error);
    if (daemon->server == NULL) {
        return fail(&error, EX_UNAVAILABLE);
    }
    log_listeners(daemon);
    return EX_OK;
}

static int open_panel(struct daemon *daemon) {
    struct panel_setup *setup = &daemon->config.panel;
    struct error error = {0};
    take_panel_port(setup, &daemon->options);
    if (setup->listeners == 0) {
        return EX_OK;
    }
    struct panel_host host = {.context = daemon,
                              .version = DRAWTENDER_VERSION,
                              .pace = daemon->options.pace,
                              .now_us = host_now_us,
                              .ask = host_ask,
                              .would = host_would,
                              .view = host_view,
                              .barred_by = host_barred_by,
                              .kept_by_stand = host_kept_by_stand,
                              .refused = host_refused,
                              .visitor = host_session,
                              .lcc_links = host_lcc_links};
    daemon->panel = panel_new(loop_base(daemon->loop), &daemon->config, &host, &error);
    for (unsigned i = 0; daemon->panel != NULL && i < setup->listeners; i++) {
        bool is_v6 = strchr(setup->listener[i].address, ':') != NULL;
        log_line(LOG_NOTICE, is_v6 ? "panel on http://[%s]:%u/" : "panel on http://%s:%u/",
                 setup->listener[i].address, panel_port(daemon->panel, i));
    }
    return daemon->panel != NULL ? EX_OK : fail(&error, EX_UNAVAILABLE);
}

/* A port that the system chooses for the server is wanted here too. */
static void take_lcc_ports(struct lcc_setup *setup, long port) {
    for (unsigned i = 0; port == 0 && i < setup->listeners; i++) {
        setup->listener[i].port = 0;
    }
}

static int open_lcc(struct daemon *daemon) {
    struct lcc_setup *setup = &daemon->config.lcc;
    struct net_setup *net = &daemon->config.net;
    if (setup->listeners + setup->hubs + setup->buses == 0) {
        return EX_OK;
    }
    take_lcc_ports(setup, daemon->options.port);
    const struct lcc_host host = {.context = daemon,
                                  .version = DRAWTENDER_VERSION,
                                  .must_rest = daemon->options.realtime > 0,
                                  .name = host_name,
                                  .ask = host_ask,
                                  .view = host_view,
                                  .barred_by = host_barred_by,
                                  .kept_by_stand = host_kept_by_stand,
                                  .refused = host_refused,
                                  .visitor = host_session,
                                  .links = host_links,
                                  .said = host_said,
                                  .lines_came = host_lines_came,
                                  .clock = host_clock};
    const struct bridge_setup *core[NET_BRIDGES_MAX];
    for (unsigned i = 0; i < net->bridges; i++) {
        core[i] = &net->bridge[i].setup;
    }
    struct error error = {0};
    daemon->lcc = lcc_new(loop_base(daemon->loop), setup, core, net->bridges, &host, &error);
    daemon->node_lines.lcc = daemon->lcc;
    for (unsigned i = 0; daemon->lcc != NULL && i < setup->listeners; i++) {
        log_line(LOG_NOTICE, "LCC on %s port %u", setup->listener[i].address,
                 lcc_port(daemon->lcc, i));
    }
    return daemon->lcc != NULL ? EX_OK : fail(&error, EX_UNAVAILABLE);
}

static int open_stands(struct daemon *daemon) {
    struct net_setup *net = &daemon->config.net;
    const struct stand_host host = {.context = daemon,
                                    .is_dry = daemon->options.is_dry,
                                    .pace = daemon->options.pace,
                                    .now_us = host_real_us,
                                    .name = host_name,
                                    .ask = host_ask,
                                    .view = host_view,
                                    .barred_by = host_barred_by,
                                    .refused = host_refused,
                                    .bars_changed = host_bars_changed,
                                    .turn = host_turn};
    struct error error = {0};
    for (unsigned i = 0; i < net->bridges; i++) {
        const struct stand_setup *setup = &daemon->config.bridge[i].stand;
        if (!setup->is_there) {
            continue;
        }
        daemon->stand[i] = stand_new(loop_base(daemon->loop), i, setup, &net->bridge[i].setup,
                                     &host, &stand_kernel, &error);
        if (daemon->stand[i] == NULL) {
            return fail(&error, EX_IOERR);
        }
    }
    return EX_OK;
}

/* A bridge without sound is no reason not to run. Of several bridges the first is written. */
static void open_sound(struct daemon *daemon) {
    const char *file = daemon->options.sound;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
        const struct sound_setup *sound = &daemon->config.bridge[i].sound;
        const struct player_setup setup = {.name = net->name,
                                           .sound = sound,
                                           .bridge = &net->setup,
                                           .sink = file != NULL ? &sink_wav : &sink_card,
                                           .device = file != NULL ? file : sound->device};
        struct error error = {0};
        if (file != NULL ? i > 0 : !sound->is_there) {
            continue;
        }
        daemon->player[i] = player_new(&setup, &error);
        if (daemon->player[i] == NULL) {
            log_line(LOG_WARNING, "%s: %s", error.where, error.what);
        }
    }
}

static void open_scenes(struct daemon *daemon) {
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct scene_setup *setup = &daemon->config.bridge[i].scene;
        const struct scene_host host = {.context = daemon,
                                        .name = daemon->config.net.bridge[i].name,
                                        .is_dry = daemon->options.is_dry,
                                        .pace = daemon->options.pace,
                                        .now_us = host_now_us,
                                        .minute = host_minute};
        struct error error = {0};
        if (setup->outputs == 0) {
            continue;
        }
        daemon->scene[i] = scene_new(loop_base(daemon->loop), setup, &gpio_kernel, &host, &error);
        if (daemon->scene[i] == NULL) {
            log_line(LOG_WARNING, "%s: %s", error.where, error.what);
        }
    }
}

static void beat(void *context) {
    struct daemon *daemon = context;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        cycle_beat(daemon->cycle[i]);
    }
}

/* $WATCHDOG_PID, where given, says whom the service manager means. */
static uint64_t notify_interval_us(void) {
    const char *pid = getenv("WATCHDOG_PID");
    const char *us = getenv("WATCHDOG_USEC");
    bool is_for_us = pid == NULL || strtol(pid, NULL, 10) == (long)getpid();
    return us != NULL && is_for_us ? strtoull(us, NULL, 10) : 0;
}

static int open_alive(struct daemon *daemon) {
    struct alive_setup setup = {.notify_address = getenv("NOTIFY_SOCKET"),
                                .notify_us = notify_interval_us(),
                                .watchdog = daemon->options.watchdog,
                                .beat = beat,
                                .context = daemon};
    struct error error = {0};
    daemon->alive = alive_new(loop_base(daemon->loop), &setup, &error);
    return daemon->alive != NULL ? EX_OK : fail(&error, EX_IOERR);
}

/* A file that cannot be written stops nothing; that another daemon writes it does. */
static int open_record(struct daemon *daemon) {
    struct error error = {0};
    if (daemon->config.record.file[0] == '\0') {
        return EX_OK;
    }
    daemon->recorder =
        record_open(&daemon->config, DRAWTENDER_VERSION, clock_epoch_us(&daemon->clock), &error);
    return daemon->recorder != NULL ? EX_OK : fail(&error, EX_UNAVAILABLE);
}

static void start_bridges(struct daemon *daemon) {
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
        struct line_track tracks[BRIDGE_TRACKS_MAX];
        net_name_tracks(net, tracks);
        guard_table_log(net->name, &net->setup, tracks);
        bool waits = daemon->config.bridge[i].waits_for_power;
        const struct bridge_request first = {.kind = waits ? REQUEST_POWER_OFF : REQUEST_NONE};
        cycle_start(daemon->cycle[i], &first);
    }
}

static void start_stands(struct daemon *daemon) {
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        stand_look(daemon->stand[i]);
    }
}

static int open_all(struct daemon *daemon) {
    clock_start(&daemon->clock, daemon->options.pace);
    node_lines_init(&daemon->node_lines);
    int status = open_loop(daemon);
    if (status == EX_OK) { /* before the bridges: a second daemon leaves them alone */
        status = open_record(daemon);
    }
    for (unsigned i = 0; status == EX_OK && i < daemon->config.net.bridges; i++) {
        status = open_bridge(daemon, i);
    }
    if (status == EX_OK) {
        status = open_network(daemon);
    }
    if (status == EX_OK) {
        status = open_panel(daemon);
    }
    if (status == EX_OK) {
        status = open_lcc(daemon);
    }
    if (status == EX_OK) {
        status = open_stands(daemon);
    }
    if (status == EX_OK) { /* last: nothing moves or is powered if something is missing */
        open_sound(daemon);
        open_scenes(daemon);
        start_bridges(daemon);
        start_stands(daemon);
    }
    if (status == EX_OK) {
        status = open_alive(daemon);
    }
    return status;
}

/* The service manager would kill what is silent while it waits. */
static void on_wait(void *context) {
    alive_still(((struct daemon *)context)->alive);
}

/* Returns whether all outputs are known to be safe. */
static bool end_bridges(struct daemon *daemon) {
    struct ending ending;
    bool is_safe = true;
    ending_begin(&ending, daemon->cycle, daemon->config.net.bridges);
    if (daemon->is_anew) {
        alive_reloading(daemon->alive);
    } else {
        alive_stopping(daemon->alive);
    }
    ending_settle(&ending, on_wait, daemon);
    crash_unguard();
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        if (!ending.is_safe[i]) {
            log_line(LOG_ERROR, "%s: its outputs are not known to be safe",
                     daemon->config.net.bridge[i].name);
        }
        is_safe = is_safe && ending.is_safe[i];
        cycle_free(daemon->cycle[i]);
    }
    return is_safe;
}

/* Outputs first: whatever comes after may fail, or take its time. Returns whether all are known to
 * be safe. */
static bool close_all(struct daemon *daemon) {
    bool is_safe = end_bridges(daemon);
    alive_free(daemon->alive, is_safe);
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        stand_free(daemon->stand[i]);
        player_free(daemon->player[i]);
        scene_free(daemon->scene[i]);
        daemon->scene[i] = NULL; /* the server's end may still stop the clock */
    }
    lcc_free(daemon->lcc);
    panel_free(daemon->panel);
    daemon->panel = NULL; /* what the server lets go of is nobody's news now */
    net_server_free(daemon->server);
    recorder_free(daemon->recorder);
    signals_free(daemon->signals);
    reload_free(daemon->reload);
    loop_free(daemon->loop);
    return is_safe;
}

/* A real bridge cannot be hurried, nor can devices on another server. */
static bool may_pace(const struct daemon *daemon) {
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct config_bridge *bridge = &daemon->config.bridge[i];
        if ((!bridge->has_simulation || bridge->has_lines) && daemon->options.pace > 1) {
            log_line(LOG_ERROR, "%s: --pace works only if every bridge is entirely simulated",
                     daemon->config.net.bridge[i].name);
            return false;
        }
    }
    return true;
}

static void tell_start(const struct daemon *daemon) {
    if (daemon->options.config == NULL) {
        log_line(LOG_NOTICE, "no --config given: running the built-in demo, a simulated bridge");
    }
    if (daemon->options.is_dry) {
        log_line(LOG_NOTICE, "dry run: inputs are read, no output is driven");
    }
}

static int run_bridges(struct daemon *daemon) {
    tell_start(daemon);
    if (daemon->options.realtime > 0) {
        realtime_ask((int)daemon->options.realtime);
    }
    int status = open_all(daemon);
    if (status == EX_OK && !loop_run(daemon->loop)) {
        log_line(LOG_ERROR, "the event loop failed");
        status = EX_SOFTWARE;
    }
    bool is_safe = close_all(daemon);
    log_line(is_safe ? LOG_NOTICE : LOG_ERROR,
             is_safe ? "outputs safe, exiting" : "exiting; not all outputs are known to be safe");
    daemon->is_anew = daemon->is_anew && status == EX_OK && is_safe;
    return status == EX_OK && !is_safe ? EX_IOERR : status;
}

/* What is logged from here on keeps no bridge waiting. */
static int run(struct daemon *daemon) {
    enum { LOG_WITHIN_MS = 1000 };
    fputs(options_cautions, stderr);
    if (!log_begin()) {
        log_line(LOG_ERROR, "cannot create the log's thread");
        return EX_OSERR;
    }
    int status = run_bridges(daemon);
    log_end(LOG_WITHIN_MS);
    if (daemon->is_anew) {
        struct error error = {0};
        reload_run_anew(daemon->arguments, &error);
        status = fail(&error, EX_OSERR);
    }
    return status;
}

/* What would change, where it is asked. Returns OPTIONS_UNCHANGED if nothing does. */
static int print_changes(const struct daemon *daemon) {
    size_t count;
    struct error error;
    if (!changes_print(stdout, daemon->options.against, daemon->options.config, &count, &error)) {
        fprintf(stderr, "%s: %s\n", error.where, error.what);
        return EX_NOINPUT;
    }
    printf("%zu %s\n", count, count == 1 ? "change" : "changes");
    return count > 0 ? EX_OK : OPTIONS_UNCHANGED;
}

static void print_check(const struct daemon *daemon) {
    puts("configuration valid (for verdicts on lift, motor and stop sections: drawtender reckon)");
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
        struct line_track tracks[BRIDGE_TRACKS_MAX];
        net_name_tracks(net, tracks);
        fputs("\n", stdout);
        guard_table_print(stdout, net->name, &net->setup, tracks);
    }
}

static void print_wiring_of(const struct daemon *daemon, unsigned i) {
    const struct net_bridge_setup *net = &daemon->config.net.bridge[i];
    const struct config_bridge *bridge = &daemon->config.bridge[i];
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    net_name_tracks(net, tracks);
    if (bridge->has_wired) {
        wiring_print(stdout, net->name, &bridge->wired, tracks);
    }
    if (bridge->stand.is_there) {
        fputs(bridge->has_wired ? "\n" : "", stdout);
        wiring_print_stand(stdout, net->name, &bridge->stand, tracks);
    }
}

static int print_wiring(const struct daemon *daemon) {
    unsigned printed = 0;
    for (unsigned i = 0; i < daemon->config.net.bridges; i++) {
        const struct config_bridge *bridge = &daemon->config.bridge[i];
        if (bridge->has_wired || bridge->stand.is_there) {
            fputs(printed++ > 0 ? "\n" : "", stdout);
            print_wiring_of(daemon, i);
        }
    }
    if (printed == 0) {
        fputs("no bridge of this configuration is wired to this computer\n", stderr);
    }
    return printed > 0 ? EX_OK : EX_CONFIG;
}

/* Of the first bridge that is wired: a drawing shows one. */
static int draw_wiring(const struct daemon *daemon) {
    const char *file = daemon->options.drawing;
    unsigned i = 0;
    while (i < daemon->config.net.bridges && !daemon->config.bridge[i].has_wired) {
        i++;
    }
    if (i == daemon->config.net.bridges) {
        fputs("no bridge of this configuration is wired to this computer\n", stderr);
        return EX_CONFIG;
    }
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    net_name_tracks(&daemon->config.net.bridge[i], tracks);
    FILE *out = fopen(file, "wx");
    if (out != NULL) {
        wiring_drawing(out, daemon->config.net.bridge[i].name, &daemon->config.bridge[i].wired,
                       tracks);
    }
    bool is_written = out != NULL && ferror(out) == 0;
    if (out != NULL && fclose(out) != 0) {
        is_written = false;
    }
    if (!is_written) {
        fprintf(stderr, "%s: %s\n", file, strerror(errno));
    }
    return is_written ? EX_OK : EX_CANTCREAT;
}

static int print_announcement(const struct daemon *daemon) {
    if (announcement_print(stdout, &daemon->config)) {
        return EX_OK;
    }
    fputs("nothing to announce: every listener of this configuration is for this machine alone\n",
          stderr);
    return EX_CONFIG;
}

int main(int count, char **arguments) {
    struct daemon *daemon = calloc(1, sizeof *daemon);
    if (daemon == NULL) {
        return EX_OSERR;
    }
    int status = EX_OK;
    daemon->arguments = arguments;
    switch (options_read(count, arguments, &daemon->options, stdout, stderr)) {
    case OPTIONS_WRONG:
        status = EX_USAGE;
        break;
    case OPTIONS_DONE:
        break;
    case OPTIONS_RUN:
        log_set_level(daemon->options.log);
        status = read_config(daemon);
        if (status == EX_OK && daemon->options.against != NULL) {
            status = print_changes(daemon);
        } else if (status == EX_OK && daemon->options.is_check) {
            print_check(daemon);
        } else if (status == EX_OK && daemon->options.drawing != NULL) {
            status = draw_wiring(daemon);
        } else if (status == EX_OK && daemon->options.is_wiring) {
            status = print_wiring(daemon);
        } else if (status == EX_OK && daemon->options.is_announcement) {
            status = print_announcement(daemon);
        } else if (status == EX_OK) {
            status = may_pace(daemon) ? run(daemon) : EX_USAGE;
        }
        break;
    }
    free(daemon);
    return status;
}

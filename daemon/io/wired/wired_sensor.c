#include "io/wired/wired_sensor.h"

#include "base/log.h"
#include "io/wired/time_left.h"

#include <event2/event.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { EDGES_MAX = 128 };

/* ---- encoder */

struct channel_edge {
    struct gpio_edge edge;
    unsigned channel;
};

struct edges {
    int count;
    struct channel_edge edge[EDGES_MAX];
};

static int by_time(const void *one, const void *other) {
    uint64_t a_us = ((const struct channel_edge *)one)->edge.at_us;
    uint64_t b_us = ((const struct channel_edge *)other)->edge.at_us;
    return a_us < b_us ? -1 : a_us > b_us;
}

/* Returns how many, or -1. */
static int take_channel(struct wired_sensor_port *port, unsigned channel, struct edges *edges) {
    struct gpio_edge taken[16];
    int room = EDGES_MAX - edges->count;
    if (port->channel[channel] == NULL) {
        return 0;
    }
    int count = port->gpio->take_edges(port->channel[channel], 0, taken, room < 16 ? room : 16);
    for (int i = 0; i < count; i++) {
        edges->edge[edges->count++] = (struct channel_edge){taken[i], channel};
    }
    return count;
}

/* Each channel has a queue of its own: both are emptied, until neither has more, before the edges
 * are put in order; or an earlier edge of one might be left behind a later one of the other. */
static bool take_edges(struct wired_sensor_port *port, struct edges *edges) {
    int count;
    do {
        int a = take_channel(port, 0, edges);
        int b = take_channel(port, 1, edges);
        if (a < 0 || b < 0) {
            return false;
        }
        count = a + b;
    } while (count > 0 && edges->count < EDGES_MAX);
    qsort(edges->edge, (size_t)edges->count, sizeof edges->edge[0], by_time);
    return edges->count < EDGES_MAX;
}

/* Too many edges, or edges that wait for ever as they cannot be taken, would keep the loop busy
 * with nothing else. */
static void stop_listening(struct wired_sensor_port *port) {
    for (unsigned i = 0; i < 2; i++) {
        if (port->edge[i] != NULL) {
            event_del(port->edge[i]);
        }
    }
}

static bool are_too_many(struct wired_sensor_port *port, const struct edges *edges) {
    return edges->count > 0 &&
           edge_limit_is_over(&port->limit, (unsigned)edges->count, EDGE_LIMIT_ENCODER,
                              edges->edge[edges->count - 1].edge.at_us);
}

static void count_edges(struct wired_sensor_port *port) {
    struct edges edges = {.count = 0};
    bool is_good = take_edges(port, &edges);
    for (int i = 0; i < edges.count; i++) {
        encoder_edge(&port->encoder, edges.edge[i].channel, edges.edge[i].edge.level);
    }
    bool is_storm = are_too_many(port, &edges);
    if (is_storm || !is_good) {
        port->encoder.is_lost = true;
        log_line(LOG_ERROR,
                 "%s: the encoder's edges %s: no reading until it has been quiet for a second",
                 port->name, is_storm ? "are too many" : "cannot be read");
        edge_limit_begin_storm(&port->limit);
        stop_listening(port);
    }
}

static void on_encoder(evutil_socket_t fd, short what, void *context) {
    struct wired_sensor_port *port = context;
    (void)fd;
    (void)what;
    bool was_lost = port->encoder.is_lost;
    count_edges(port);
    if (port->encoder.is_lost && !was_lost && !port->limit.is_storm) {
        log_line(LOG_WARNING, "%s: edges of the encoder were missed", port->name);
    }
    port->host->changed(port->host->context);
}

/* The levels may be any by now, and the count is worth nothing until the next anchor. */
static void look_for_quiet(struct wired_sensor_port *port, uint64_t now_us) {
    struct edges edges = {.count = 0};
    bool level[2] = {false, false};
    bool is_quiet = take_edges(port, &edges) && edges.count == 0;
    for (unsigned i = 0; i < 2; i++) {
        is_quiet = is_quiet && (port->channel[i] == NULL ||
                                (port->gpio->read(port->channel[i], &level[i], NULL) &&
                                 event_add(port->edge[i], NULL) == 0));
    }
    edge_limit_looked(&port->limit, is_quiet ? 0 : 1, now_us);
    if (is_quiet) {
        encoder_resume(&port->encoder, level[0], level[1]);
        log_line(LOG_NOTICE, "%s: the encoder is quiet again", port->name);
    } else {
        stop_listening(port);
    }
}

static bool open_channel(struct wired_sensor_port *port, unsigned i, struct error *error) {
    const struct wired_pin *pin = &port->setup->pin[i];
    port->channel[i] = port->gpio->open_inputs(port->chips[pin->chip].device, &pin->offset, 1,
                                               pin->pull, true, error);
    if (port->channel[i] == NULL) {
        return false;
    }
    port->edge[i] = event_new(port->host->base, port->gpio->edge_fd(port->channel[i], 0),
                              EV_READ | EV_PERSIST, on_encoder, port);
    if (port->edge[i] == NULL) {
        return error_set(error, port->name, "cannot create an event");
    }
    event_priority_set(port->edge[i], 0);
    return event_add(port->edge[i], NULL) == 0 ||
           error_set(error, port->name, "its edges cannot be waited for");
}

static bool open_encoder(struct wired_sensor_port *port, struct error *error) {
    bool has_two = port->setup->pin[1].is_used;
    bool level[2] = {false, false};
    for (unsigned i = 0; i < (has_two ? 2 : 1); i++) {
        if (!open_channel(port, i, error) ||
            !port->gpio->read(port->channel[i], &level[i], error)) {
            return false;
        }
    }
    encoder_start(&port->encoder, has_two, level[0], level[1]);
    return true;
}

/* ---- analogue */

static bool open_iio(struct wired_sensor_port *port, struct error *error) {
    return iio_open(&port->iio, port->setup->device, port->setup->channel, error);
}

static bool read_iio(struct wired_sensor_port *port, double *value, struct error *error) {
    return iio_read(&port->iio, value, error);
}

static bool open_hwmon(struct wired_sensor_port *port, struct error *error) {
    return hwmon_open(&port->hwmon, port->setup->device, port->setup->channel, error);
}

static bool read_hwmon(struct wired_sensor_port *port, double *value, struct error *error) {
    return hwmon_read(&port->hwmon, value, error);
}

/* By wired_sensor_kind, of the rows in wired_setup.h. */
#define MEASURED(name, word, source) [WIRED_SENSOR_##name] = {open_##source, read_##source},
#define COUNTED(name, word, source) [WIRED_SENSOR_##name] = {open_##source, NULL},
static const struct {
    bool (*open)(struct wired_sensor_port *port, struct error *error);
    bool (*read)(struct wired_sensor_port *port, double *value, struct error *error);
} sources[] = {[WIRED_SENSOR_NONE] = {NULL, NULL},
               WIRED_SENSORS_MEASURED(MEASURED) WIRED_SENSORS_COUNTED(COUNTED)};

static bool open_source(struct wired_sensor_port *port, struct error *error) {
    return port->setup->kind == WIRED_SENSOR_NONE || sources[port->setup->kind].open(port, error);
}

/* Volts or amperes; NAN where there are none. */
static double measure(struct wired_sensor_port *port) {
    double value = NAN;
    struct error error;
    bool is_good = sources[port->setup->kind].read(port, &value, &error);
    if (!is_good && port->was_good) {
        log_line(LOG_ERROR, "%s: cannot be read: %s: %s", port->name, error.where, error.what);
    }
    port->was_good = is_good;
    return is_good ? value : NAN;
}

static void read_source(struct wired_sensor_port *port, uint64_t now_us) {
    const struct wired_sensor *setup = port->setup;
    double per_one = setup->at_one - setup->at_zero;
    double bounds[2] = {(setup->least - setup->at_zero) / per_one,
                        (setup->most - setup->at_zero) / per_one};
    struct reading_limits limits = {
        .least = fmin(bounds[0], bounds[1]),
        .most = fmax(bounds[0], bounds[1]),
        .jump_per_s = setup->jump_per_s,
        .frozen_us = setup->frozen_us,
    };
    port->value = reading_judge(&port->reading, &limits, (measure(port) - setup->at_zero) / per_one,
                                port->is_driven, now_us);
    port->read_us = now_us;
    port->was_read = true;
}

/* ---- as a whole */

bool wired_sensor_open(struct wired_sensor_port *port, const struct wired_sensor *setup,
                       const struct wired_chip chips[], const char *name,
                       const struct gpio_ops *gpio, const struct port_host *host,
                       struct error *error) {
    *port = (struct wired_sensor_port){.setup = setup,
                                       .name = name,
                                       .chips = chips,
                                       .gpio = gpio,
                                       .host = host,
                                       .value = NAN,
                                       .was_good = true};
    if (!open_source(port, error)) {
        wired_sensor_close(port);
        return false;
    }
    return true;
}

void wired_sensor_drive(struct wired_sensor_port *port, double effort) {
    port->is_driven = effort != 0;
    encoder_drive(&port->encoder, (effort > 0) - (effort < 0));
}

void wired_sensor_anchor(struct wired_sensor_port *port, double position_frac) {
    if (!wired_sensor_is_counted(port->setup->kind) || port->limit.is_storm) {
        return;
    }
    count_edges(port); /* those until now are behind the anchor */
    if (!port->limit.is_storm) {
        encoder_anchor(&port->encoder, llround(position_frac * port->setup->counts));
    }
}

double wired_sensor_read(struct wired_sensor_port *port, uint64_t now_us) {
    if (wired_sensor_is_counted(port->setup->kind)) {
        if (edge_limit_is_due(&port->limit, now_us)) {
            look_for_quiet(port, now_us);
        }
        return encoder_position(&port->encoder, port->setup->counts);
    }
    if (wired_sensor_is_measured(port->setup->kind) &&
        (!port->was_read || now_us - port->read_us >= port->setup->poll_us)) {
        read_source(port, now_us);
    }
    return port->value; /* NAN where there is no sensor */
}

uint32_t wired_sensor_wake_us(const struct wired_sensor_port *port, uint64_t now_us) {
    if (wired_sensor_is_counted(port->setup->kind)) {
        return edge_limit_wake_us(&port->limit, now_us);
    }
    return wired_sensor_is_measured(port->setup->kind)
               ? time_left_us(port->read_us, port->setup->poll_us, now_us)
               : UINT32_MAX;
}

void wired_sensor_close(struct wired_sensor_port *port) {
    for (unsigned i = 0; i < 2; i++) {
        if (port->edge[i] != NULL) {
            event_free(port->edge[i]);
            port->edge[i] = NULL;
        }
        if (port->channel[i] != NULL) {
            port->gpio->close(port->channel[i]);
            port->channel[i] = NULL;
        }
    }
}

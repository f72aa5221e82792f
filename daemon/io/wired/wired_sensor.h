/* wired_sensor.h: one measured value: a position as a part of the travel, or a current in A. Read
 * at its set rate from IIO or hwmon, or counted from an encoder's edges; NAN when it cannot be
 * believed (reading.h). */
#ifndef IO_WIRED_SENSOR_H
#define IO_WIRED_SENSOR_H

#include "io/kernel/gpio.h"
#include "io/kernel/hwmon.h"
#include "io/kernel/iio.h"
#include "io/port.h"
#include "io/wired/edge_limit.h"
#include "io/wired/encoder.h"
#include "io/wired/reading.h"
#include "io/wired/wired_setup.h"

struct event;

struct wired_sensor_port {
    const struct wired_sensor *setup;
    const char *name;
    struct iio iio;
    struct hwmon hwmon;
    struct reading reading;
    bool was_read, was_good;
    uint64_t read_us;
    double value; /* of the last reading, or NAN */
    bool is_driven;

    struct encoder encoder;
    struct edge_limit limit; /* of both channels */
    const struct wired_chip *chips;
    const struct gpio_ops *gpio;
    const struct port_host *host;
    void *channel[2]; /* of the encoder; NULL: none */
    struct event *edge[2];
};

/* `name` is for the log. On error nothing is left open. */
bool wired_sensor_open(struct wired_sensor_port *port, const struct wired_sensor *setup,
                       const struct wired_chip chips[], const char *name,
                       const struct gpio_ops *gpio, const struct port_host *host,
                       struct error *error);

/* What the lift does now: -1..1. */
void wired_sensor_drive(struct wired_sensor_port *port, double effort);

/* The span is proved at this place: an encoder counts from there. */
void wired_sensor_anchor(struct wired_sensor_port *port, double position_frac);

double wired_sensor_read(struct wired_sensor_port *port, uint64_t now_us);

uint32_t wired_sensor_wake_us(const struct wired_sensor_port *port, uint64_t now_us);

void wired_sensor_close(struct wired_sensor_port *port);

#endif

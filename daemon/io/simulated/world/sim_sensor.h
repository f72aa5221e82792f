/* sim_sensor.h: what a sensor makes of a true value: noise of a given standard deviation, then
 * steps of a given size. The noise is a pure function of seed, channel and time: reading twice at
 * the same time reads the same, and nobody's extra readings change anybody else's. */
#ifndef IO_SIM_SENSOR_H
#define IO_SIM_SENSOR_H

#include <stdint.h>

enum sim_sensor_channel { SIM_SENSOR_POSITION = 0, SIM_SENSOR_CURRENT };

/* Standard normal deviate (Box and Muller 1958, from memory, over splitmix64). */
double sim_sensor_noise(uint64_t seed, enum sim_sensor_channel channel, uint64_t time_us);

/* `noise` and `quantum` in the value's unit; 0: none. */
double sim_sensor_read(double value, double noise, double quantum, uint64_t seed,
                       enum sim_sensor_channel channel, uint64_t time_us);

#endif

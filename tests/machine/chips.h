/* chips.h: the simulated chips of the machine of tools/test-machine, as the world sees them: the
 * registers of i2c-stub's chips, and the lines of gpio-sim. Prints a line for each check. */
#ifndef MACHINE_CHIPS_H
#define MACHINE_CHIPS_H

#include "base/error.h"

#include <stdbool.h>

/* pca9555, ina219, pca9685, ltc4151 at these addresses of bus 0. */
enum { EXPANDER = 0x20, METER = 0x40, PULSER = 0x41, SUPPLY = 0x6a };

extern unsigned failed; /* checks */

void check(bool is_good, const char *what);
/* The same; what is wrong is told if it is. */
void check_opened(bool is_open, const struct error *error, const char *what);

/* One of a chip's registers. A failure is a failed check. */
void put_byte(unsigned chip, unsigned reg, unsigned value);
unsigned get_byte(unsigned chip, unsigned reg);
/* High byte first, as these chips have it. */
void put_word(unsigned chip, unsigned reg, unsigned value);

/* ina219: register 2 is the bus voltage, 4 mV in bits 3 and up (data sheet, from memory). */
void put_volts(double volts);
/* ltc4151: 20 uV a step across its shunt, which the driver takes as 1 mOhm (data sheet and driver,
 * from memory). */
void put_amperes(double amperes);

/* pca9685: four registers for each channel from 6 on: when the pulse begins and ends, in 4096ths;
 * bit 4 of the last is "full off" (data sheet, from memory). Returns the share of the period. */
double pulse_share(unsigned channel);

/* A simulated GPIO bank; `device` is 0 or 1, in the order in which they were made. */
struct sim_bank {
    char folder[200];
};
bool find_bank(struct sim_bank *bank, unsigned device);
void pull(const struct sim_bank *bank, unsigned line, bool is_up);
bool is_high(const struct sim_bank *bank, unsigned line);

#endif

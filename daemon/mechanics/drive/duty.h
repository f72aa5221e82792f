/* duty.h: what openings cost the motor: its losses over one movement, and how hot an evening of
 * openings makes it. Pure: no I/O, no allocation.
 *
 * Over the run of travel.h with the most friction: copper I^2 R, and what the motor takes when it
 * turns free, I0 Ke w (textbook model of motor.h). At rest the motor takes nothing. */
#ifndef MECHANICS_DUTY_H
#define MECHANICS_DUTY_H

#include "mechanics/drive/heat.h"
#include "mechanics/lift/chain.h"
#include "mechanics/lift/travel.h"

struct duty {
    unsigned openings;
    double every_s; /* from opening to opening; less than one takes: without a rest */
    double open_s;  /* open between raising and lowering */
};

/* Of the movement from one moment of the travel to the next. */
struct duty_run {
    double step_s;
    struct heat_loss loss[TRAVEL_MOMENTS - 1];
    double copper_j;
    double other_j;
    double rms_a;
};
void duty_run(const struct chain *chain, const struct travel *travel, int way,
              struct duty_run *run);

struct duty_heat {
    double evening_c; /* hottest winding within the openings */
    double endless_c; /* if it went on so without end; INFINITY: it runs away */
    struct heat_state hottest;
};
/* Both movements took a finite time. */
struct duty_heat duty_heat(const struct heat *heat, const struct duty *duty,
                           const struct duty_run *up, const struct duty_run *down);

/* How warm it was, evenly spaced in time. */
struct duty_sample {
    double time_s;
    struct heat_state at;
};
/* Fills at most `most` samples, `every_s` apart, from cold through all openings; returns how many.
 */
unsigned duty_trace(const struct heat *heat, const struct duty *duty, const struct duty_run *up,
                    const struct duty_run *down, double every_s, struct duty_sample *sample,
                    unsigned most);

/* From the first opening to the end of the last one's rest. */
double duty_evening_s(const struct duty *duty, const struct duty_run *up,
                      const struct duty_run *down);

#endif

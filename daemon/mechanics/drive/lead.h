/* lead.h: the motor's lead: which wire, how much voltage it loses, which fuse. A proposal that
 * defers to the local electrical code. Pure: no I/O, no allocation.
 *
 * Loss I rho 2 L/A with copper of 1/58 ohm mm2/m at 20 degrees (IEC 60028; from memory). Wire: the
 * thinnest usual one that carries its fuse at 700 circular mils (0.355 mm2) an ampere and loses a
 * twentieth of the supply at most (common practice, no source). Fuse: time-lag, the next rating of
 * the row 1, 1.25, 1.6 ... (IEC 60127; from memory) above 1.25 times the greatest current (common
 * practice, no source). */
#ifndef MECHANICS_LEAD_H
#define MECHANICS_LEAD_H

#define LEAD_SPARE 1.25
#define LEAD_LOSS_MOST 0.05

/* Returns the voltage lost there and back; `length_m` one way. */
double lead_loss_v(double current_a, double length_m, double area_mm2);

/* Returns the fuse's rating, amperes. `current_a` is above zero. */
double lead_fuse_a(double current_a);

/* Returns the least cross-section that may carry what this fuse lets pass. */
double lead_carrying_mm2(double fuse_a);

/* Returns the cross-section, mm2, or INFINITY where no usual wire is enough. */
double lead_wire_mm2(double current_a, double fuse_a, double length_m, double supply_v);

#endif

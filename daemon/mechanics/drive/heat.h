/* heat.h: how hot a motor becomes: its winding, and its case with the iron, as two bodies.
 * Pure: no I/O, no allocation. Temperatures in degrees Celsius.
 *
 * winding: C1 dT1/dt = P1 - (T1 - T2)/R1; case: C2 dT2/dt = P2 + (T1 - T2)/R1 - (T2 - air)/R2, with
 * C = time constant / resistance: the convention of motor makers' data sheets (thermal resistances
 * winding-housing and housing-ambient, a time constant for each; from memory). Copper's resistance
 * grows by 0.393 % of its value at 20 degrees a kelvin (IEC 60028; from memory). */
#ifndef MECHANICS_HEAT_H
#define MECHANICS_HEAT_H

struct heat {
    double to_case_k_w; /* R1 */
    double to_air_k_w;  /* R2 */
    double winding_s;   /* time constants */
    double case_s;
    double air_c;
    double limit_c; /* of the winding */
};

struct heat_state {
    double winding_c;
    double case_c;
};

/* What heats it: loss in the winding as if that were at 20 degrees, and all other losses. */
struct heat_loss {
    double copper_w;
    double other_w; /* of friction and iron: into the case */
};

/* Returns NULL, or what is wrong in words (static storage). The others expect what passed. */
const char *heat_check(const struct heat *heat);

struct heat_state heat_cold(const struct heat *heat); /* as warm as the air */

/* How many times its value at 20 degrees the winding's resistance is. */
double heat_copper(double winding_c);

/* Moves `state` on by so many seconds (>= 0) with these losses. */
void heat_run(const struct heat *heat, const struct heat_loss *loss, double seconds,
              struct heat_state *state);

/* A motor held fast. */
struct heat_stall {
    double voltage_v;
    double supply_a; /* no more than this comes; INFINITY: as much as it takes */
    double resistance_ohm;
};

/* Returns for how long from `state` the winding stays within its limit, or INFINITY. */
double heat_stall_s(const struct heat *heat, const struct heat_stall *stall,
                    struct heat_state state);

#endif

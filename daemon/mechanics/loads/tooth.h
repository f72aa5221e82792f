/* tooth.h: what a spur pinion's tooth carries, by Lewis. Pure: no I/O, no allocation.
 *
 * stress = F/(b m Y): W. Lewis, 1892, as in Shigley's Mechanical Engineering Design, table 14-2 (Y
 * of 20 degree full-depth teeth, load at the tip; from memory, and within 5 % of the geometry of
 * such a tooth). Without the factor for speed: a bridge's last pinion turns slowly. */
#ifndef MECHANICS_TOOTH_H
#define MECHANICS_TOOTH_H

/* Returns Y for this many teeth, at least 6; below 10 as if Y fell with the teeth. */
double tooth_form(unsigned teeth);

/* All in SI units and above zero. */
double tooth_stress_pa(double force_n, double face_m, double module_m, unsigned teeth);
double tooth_force_n(double strength_pa, double face_m, double module_m, unsigned teeth);

#endif

/* gear.h: spur gears by their teeth. Pure.
 * d = N/DP inches, or N x module (Machinist's formulas for spur gears, US Navy training course
 * 14345, appendix III, enginemechanics.tpub.com/14345). */
#ifndef MECHANICS_GEAR_H
#define MECHANICS_GEAR_H

double gear_pitch_radius_m(double teeth, double module_m);

#endif

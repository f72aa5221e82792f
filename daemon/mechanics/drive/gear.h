/* gear.h: spur gears, racks and planetary stages by their teeth. Pure.
 * d = N/DP inches, or N x module; rack travel a turn = pi d (Machinist's formulas for spur gears,
 * US Navy training course 14345, appendix III, enginemechanics.tpub.com/14345). */
#ifndef MECHANICS_GEAR_H
#define MECHANICS_GEAR_H

/* Teeth per inch of pitch diameter (diametral pitch, DP) to module. Exact: 1 in = 25.4 mm. */
double gear_module_m(double diametral_pitch_in);

double gear_pitch_radius_m(double teeth, double module_m);
double gear_rack_per_turn_m(double teeth, double module_m);

/* Sun in, carrier out, ring fixed: 1 + ring/sun (from memory, any textbook on gears). */
double gear_planetary_ratio(double sun_teeth, double ring_teeth);

/* NULL, or what is wrong in words (static storage). */
const char *gear_check(double teeth, double module_m);

#endif

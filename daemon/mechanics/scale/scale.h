/* scale.h: prototype and model: what looks right, and what the wheels bear. Pure: no I/O, no
 * allocation. `ratio` is how many times the prototype is as long as the model: 12 for 1:12.
 *
 * Looks right: under the same gravity, times and speeds go with the root of the lengths, masses
 * with their cube (W. Froude's law of similar ships, 1868; any handbook). A proposal, never a
 * limit: trains on layouts run by the clock, at the prototype's speed divided by the ratio
 * (train_stop.h).
 *
 * Rail joint: wheels stay on while the step is a third of the flange's height (a judgement, no
 * source); a flange is 25 mm of the prototype, and no less than 0.025 in, that of an HO wheel (NMRA
 * RP-25, code 110; from memory). */
#ifndef MECHANICS_SCALE_H
#define MECHANICS_SCALE_H

double scale_model_s(double prototype_s, double ratio);
double scale_prototype_s(double model_s, double ratio);
double scale_prototype_m_s(double model_m_s, double ratio); /* of what falls and swings */
double scale_prototype_kg(double model_kg, double ratio);

/* Returns by how much rails may differ at a joint; NAN for an unknown scale. */
double scale_joint_m(double ratio);

#endif

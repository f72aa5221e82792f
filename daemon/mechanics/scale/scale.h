/* scale.h: prototype and model: what looks right, and what the wheels bear. Pure: no I/O, no
 * allocation. `ratio` is how many times the prototype is as long as the model: 12 for 1:12.
 *
 * Rail joint: wheels stay on while the step is a third of the flange's height (a judgement, no
 * source); a flange is 25 mm of the prototype, and no less than 0.025 in, that of an HO wheel (NMRA
 * RP-25, code 110; from memory). */
#ifndef MECHANICS_SCALE_H
#define MECHANICS_SCALE_H

/* Returns by how much rails may differ at a joint; NAN for an unknown scale. */
double scale_joint_m(double ratio);

#endif

/* mechanics_walk.h: the mechanics called with any numbers and any counts within what their headers
 * allow: everything that a check() lets pass goes to the functions behind it. Who links it says
 * where the numbers come from: a fuzzer's bytes, or Eva's "any". */
#ifndef ANALYSIS_MECHANICS_WALK_H
#define ANALYSIS_MECHANICS_WALK_H

double walk_number(void);
unsigned walk_choice(unsigned below); /* 0..below-1 */

void walk_mechanics(void);

#endif

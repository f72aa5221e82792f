/* level.h: what the core is told of one input.
 * Closed-circuit principle (49 CFR 236.5): ON is always the energised, permissive reading (contact
 * made, section clear, signal proved at stop); OFF is its absence, a broken wire included; UNKNOWN
 * is not a usable reading (device lost, too old). */
#ifndef CORE_LEVEL_H
#define CORE_LEVEL_H

enum level { LEVEL_UNKNOWN = 0, LEVEL_OFF, LEVEL_ON };

#endif

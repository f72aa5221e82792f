/* mechanics_any.h: any part of a bridge that the mechanics' own checks let pass. */
#ifndef ANALYSIS_MECHANICS_ANY_H
#define ANALYSIS_MECHANICS_ANY_H

#include "mechanics/balance/pockets.h"
#include "mechanics/lift/chain.h"
#include "mechanics/lift/travel.h"
#include "mechanics/room/outline.h"
#include "mechanics/trains/train_stop.h"

#include <stdbool.h>

/* Few: searching many pockets takes long. */
enum { ANY_BLOCKS_MAX = 6, ANY_POCKETS = 4 };

bool any_bool(void);
struct point any_point(void);

/* Each false where the check refuses; then the part is not to be used. */
bool any_lift(struct lift *lift);
bool any_law(struct travel_law *law);
bool any_balance(enum lift_kind kind, struct balance *balance);
bool any_drive(struct drive *drive);
bool any_motor(struct motor *motor);
bool any_chain(struct chain *chain);
bool any_train(struct train *train);

struct outline_room any_room(void);
unsigned any_pockets(struct pocket pockets[ANY_POCKETS]); /* how many */

#endif

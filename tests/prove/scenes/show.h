/* show.h: what the inputs read for each choice. */
#ifndef PROVE_SHOW_H
#define PROVE_SHOW_H

#include "core/data/inputs.h"
#include "prove/moves/choices.h"
#include "prove/scenes/node.h"

/* Inputs at their best: span seated and locked, no trains, feedbacks as they should be. */
struct bridge_inputs show_quiet(const struct scene *scene, const struct node *node);

/* Contacts, position and trouble. */
void show_span(const struct bridge_setup *setup, const struct span_choice *span,
               struct bridge_inputs *inputs);
/* How many of a kind of trouble there are with this setup. */
unsigned show_troubles(const struct bridge_setup *setup, enum trouble trouble);
double show_position(enum place place);

enum level show_on_if(bool is_on);

/* The first home signal that is proved is not proved at stop. */
void show_signal_unproved(const struct bridge_setup *setup, struct bridge_inputs *inputs);
/* Of one track that has power proofs, one says `level`. */
void show_power_proof(const struct bridge_setup *setup, struct bridge_inputs *inputs,
                      unsigned track, enum level level);
/* The first unpowered section that is proved is not proved dead. */
void show_dead_unproved(const struct scene *scene, const struct node *node,
                        struct bridge_inputs *inputs);

#endif

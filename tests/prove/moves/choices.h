/* choices.h: what can be chosen for one step of a node, as products of choices: each move is one
 * value of every choice. */
#ifndef PROVE_CHOICES_H
#define PROVE_CHOICES_H

#include "core/data/request.h"
#include "prove/scenes/node.h"
#include "prove/scenes/scene.h"

#include <stdbool.h>

enum place { PLACE_SEATED, PLACE_NEAR_SEAT, PLACE_MIDDLE, PLACE_OPEN, PLACES };

enum bar { BAR_LOCKED, BAR_LOCKED_RAILS_OFF, BAR_BETWEEN, BAR_WITHDRAWN, BARS };

/* Each ends in the same way: the fault, or (still unproved) no proof. */
enum trouble {
    TROUBLE_NONE,
    TROUBLE_DEVICE_LOST,
    TROUBLE_UNKNOWN,
    TROUBLE_STOP_CIRCUIT,
    TROUBLE_STOP_AND_LOST,
    TROUBLE_LATE,            /* the look */
    TROUBLE_CONTACT_UNKNOWN, /* each of these alone */
    TROUBLE_DETECTOR_UNKNOWN,
    TROUBLE_FEEDBACK_UNKNOWN,
    TROUBLE_RAIL,
    TROUBLE_FEEDBACK,
    TROUBLE_SIGNAL_PROOF_OVERDUE,
    TROUBLE_POWER_PROOF_OVERDUE,
    TROUBLE_PHASE_OVER, /* its longest time */
    TROUBLE_SEATED_AND_OPEN,
    TROUBLE_SEATED_NEARLY_OPEN,
    TROUBLE_SEATED_NOT_NEARLY,
    TROUBLE_SEATED_ELSEWHERE,
    TROUBLE_OPEN_NEARLY_SEATED,
    TROUBLE_OPEN_NOT_NEARLY,
    TROUBLE_OPEN_ELSEWHERE,
    TROUBLE_NEAR_BOTH,
    TROUBLE_LOCKED_AND_WITHDRAWN,
    TROUBLE_LOCKED_UNSEATED,
    TROUBLES
};

/* What contacts and requests are in one move. */
struct span_choice {
    enum place place;
    enum bar bar;
    enum trouble trouble;
    unsigned trouble_at; /* which one, where there are several of a kind */
    enum bridge_request_kind request;
};

enum what {
    CHOICE_SIGNAL_PROOF,
    CHOICE_DEAD,
    CHOICE_POWER_LEFT,
    CHOICE_APPROACH,
    CHOICE_APPROACH_LOCK,
    CHOICE_STOP_SECTION,
    CHOICE_SPAN_SECTION,
    CHOICE_PHASE_LIMIT,
    CHOICE_WARNING,
    CHOICE_HORN,
    CHOICE_PUSH,
    CHOICE_JOG,
    CHOICE_THROTTLE,  /* let go */
    CHOICE_WORD,      /* somebody's word */
    CHOICE_BAR,       /* long enough driven, where a contact is missing */
    CHOICE_TOLD_STOP, /* long enough, where no proof is fitted */
    CHOICE_TOLD_OFF,
    CHOICE_RUN_OUT,
    CHOICE_WANTED,
};

/* One choice of `count` values, and where. */
struct choice {
    unsigned count;
    enum what what;
    unsigned track, end;
};

enum { PRODUCT_SPANS_MAX = 1024, PRODUCT_CHOICES_MAX = 40 };

/* Which part of all moves. */
enum part {
    PART_CLEARING, /* the span proved and nothing asked: signals may show proceed afterwards */
    PART_REST,     /* anything else: they cannot */
    PART_EXTRAS,   /* all else quiet: every trouble, every request, every place. These lead to
                      states that are found anyhow, and are there to be judged */
    PARTS
};

struct product {
    enum part part;
    struct span_choice span[PRODUCT_SPANS_MAX];
    unsigned spans;
    struct choice choice[PRODUCT_CHOICES_MAX];
    unsigned choices;
    unsigned count; /* of the moves */
};

void choices_offer(const struct scene *scene, const struct node *node, enum part part,
                   struct product *product);

/* Whether that end's home signal can show proceed after a step of PART_CLEARING. */
bool choices_could_clear(const struct node *node, unsigned track, unsigned end);

/* Whether a train in the face of that end's signal, not proved at stop, starts approach locking. */
bool choices_could_lock_anew(const struct bridge_setup *setup, const struct node *node,
                             unsigned track, unsigned end);

#endif

/* combination.h: every choice that a configuration leaves open, as a set of bits: which contacts,
 * sensors, detectors and proofs a bridge has, how its bar and its span are moved, and whether its
 * trains are known. Each set can be written as a bridge of a configuration. What must come of it is
 * stated here apart from the code that decides it. */
#ifndef GUARDS_COMBINATION_H
#define GUARDS_COMBINATION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum choice {
    CHOICE_SEATED = 0,
    CHOICE_HAND, /* the span is lifted by hand */
    CHOICE_BAR,  /* there is a lock bar, whatever contacts it has */
    CHOICE_BAR_DRIVEN,
    CHOICE_LOCKED,
    CHOICE_WITHDRAWN,
    CHOICE_NEARLY_SEATED,
    CHOICE_NEARLY_OPEN,
    CHOICE_OPEN,
    CHOICE_OVERTRAVEL,
    CHOICE_STOP_CIRCUIT,
    CHOICE_RAILS,
    CHOICE_POSITION,
    CHOICE_CURRENT,
    CHOICES_OF_BRIDGE,
    CHOICE_SPAN_DETECTOR = CHOICES_OF_BRIDGE,
    CHOICE_SPAN_PROOF,
    CHOICE_TRAINS,  /* the slowest train is known, and so how long it takes */
    CHOICE_RUN_OUT, /* or that is said */
    CHOICE_BY_TIME, /* what stands for missing detectors is said to be that time */
    CHOICE_BY_WORD, /* or a person's word; with neither, the daemon chooses */
    CHOICE_END,     /* the first of the first end; below, plus CHOICES_OF_END for the other */
    CHOICE_APPROACH_DETECTOR = CHOICE_END,
    CHOICE_STANDING_DETECTOR,
    CHOICE_STOP_DETECTOR,
    CHOICE_SIGNAL_PROOF,
    CHOICE_STOP_PROOF,
    CHOICE_AUTOMATIC,
    CHOICES_OF_END = 6,
    CHOICES = CHOICE_END + 2 * CHOICES_OF_END
};

typedef uint64_t combination;

bool combination_has(combination chosen, enum choice choice);
bool combination_end_has(combination chosen, unsigned end, enum choice choice);

enum { COMBINATION_TEXT_SIZE = 8192, COMBINATION_PLACES_MAX = 16 };

/* Reads the examples that the bridges are made of; once, before the others. */
void combination_begin(void);
void combination_end(void);

/* Two choices of one thing cannot be written both. */
bool combination_can_be_written(combination chosen);

/* Writes the object of one bridge, the one with this index in its file. */
void combination_write(combination chosen, unsigned index, char text[COMBINATION_TEXT_SIZE]);

/* The places within the bridge at which it must be refused: something is missing, or does not go
 * together. None: it must be accepted. Returns how many. */
size_t combination_refusals(combination chosen, const char *places[COMBINATION_PLACES_MAX]);

#endif

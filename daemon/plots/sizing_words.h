/* sizing_words.h: the sizing report's verdicts and weights in words, each with its margin, in the
 * units of the configuration. One place, for text and JSON alike. Pure; texts are cut to the size
 * given. */
#ifndef PLOTS_SIZING_WORDS_H
#define PLOTS_SIZING_WORDS_H

#include "plots/sizing_report.h"

#include <stddef.h>

/* "clears the ceiling by 41 mm at 62 deg (toe)". */
void sizing_words_verdict(const struct sizing_report *report, const struct verdict *verdict,
                          char *out, size_t size);
/* For a number that has no end. */
#define SIZING_WORDS_ENDLESS "beyond calculation"
/* The place of the input that adds most to a doubt; NULL: none. */
const char *sizing_words_cause(const struct sizing_report *report, const struct doubt *doubt);
/* Adds to `out` that a verdict, off by as much as `off` says, could go either way. */
void sizing_words_unsure(const struct sizing_report *report, const struct doubt *doubt,
                         const char *off, char *out, size_t size);
/* At which end of what an input may be the bridge would be refused, and why. */
void sizing_words_refusal(const struct sizing_report *report, const struct sizing_refusal *refusal,
                          char *out, size_t size);
/* "31 mm", "12 %", with a sign if it is negative; "" if UNKNOWN. With how far it may be off on its
 * wider side, if that is known: "31 mm +- 12 mm". */
void sizing_words_margin(const struct sizing_report *report, const struct verdict *verdict,
                         char *out, size_t size);
const char *sizing_words_about(enum verdict_about about); /* one word, hyphens within */
const char *sizing_words_state(enum verdict_state state); /* "good", "bad", "unknown", "unsure" */
const char *sizing_words_unit(enum verdict_about about);  /* of value and margin; "" for a ratio */

/* "62 deg", "12.4 in". */
void sizing_words_position(const struct sizing_report *report, double at, char *out, size_t size);

/* What holds the span with the motor off: "the worm", "nothing". */
const char *sizing_words_holds(const struct sizing_report *report);

/* "strut", and so on; "hand". */
const char *sizing_words_kind(const struct sizing_report *report);

/* Where one thing that the verdict needs is to be written: a JSON Pointer. */
void sizing_words_place(const struct sizing_report *report, const struct verdict *verdict,
                        enum verdict_need need, char *out, size_t size);

/* "good as they are", "nearest better: ..."; "" where there is nothing to say of the weights. */
void sizing_words_weights(const struct sizing_report *report, char *out, size_t size);

/* Where the sliding weight `i` would be better: "\"lead\" at 120 mm (now 250 mm; good from ...)".
 */
void sizing_words_slide(const struct sizing_report *report, unsigned i, char *out, size_t size);

/* "balance angle 75 deg, wanted 30 +- 20 deg"; "" if it is as wanted. */
void sizing_words_angle(const struct sizing_given *given, double angle_rad, char *out, size_t size);

/* Why these blocks are not near enough to what is wanted: load on the seat, balance angle, or both;
 * "" if they are. */
void sizing_words_short_of(const struct units *units, const struct sizing_given *given,
                           const struct pockets_answer *answer, char *out, size_t size);

/* What moves and what this program cannot promise; a paragraph's lines, NULL after the last. */
const char *sizing_words_caution(size_t index);

#endif

/* finding_words.h: what a builder asks, in words: one place for text and JSON, in the
 * units of the configuration. Pure; texts are cut to the size given. */
#ifndef PLOTS_FINDING_WORDS_H
#define PLOTS_FINDING_WORDS_H

#include "plots/sizing_report.h"

#include <stddef.h>

const char *finding_words_topic_key(enum finding_topic topic);
const char *finding_words_topic(enum finding_topic topic); /* its title */
const char *finding_words_key(enum finding_about about);
const char *finding_words_unit(enum finding_about about); /* of the number: SI, "degC"; "%": of 1 */

/* "hottest winding of the evening: 61 degC, at most 105 degC". */
void finding_words(const struct sizing_report *report, const struct finding *finding, char *out,
                   size_t size);
/* "44 K", "44 K +- 9 K"; "" if there is none. */
void finding_words_margin(const struct sizing_report *report, const struct finding *finding,
                          char *out, size_t size);

/* "good", "bad", "unsure", "unknown", "told". */
const char *finding_words_state(const struct finding *finding);

/* Where what an UNKNOWN row needs is to be written: a JSON Pointer; "" if it does not need any. */
void finding_words_place(const struct sizing_report *report, const struct finding *finding,
                         char *out, size_t size);

#endif

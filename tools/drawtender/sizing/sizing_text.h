/* sizing_text.h: the sizing report for people, as text with tables. */
#ifndef TOOLS_DRAWTENDER_SIZING_TEXT_H
#define TOOLS_DRAWTENDER_SIZING_TEXT_H

#include "plots/sizing_report.h"

#include <stdio.h>

/* The cautions; once, before the bridges. */
void sizing_text_head(FILE *out, const char *file);

void sizing_text_bridge(FILE *out, const struct sizing_report *report);

/* Of a bridge only what is good and bad, and which weights would be better. */
void sizing_text_verdicts(FILE *out, const struct sizing_report *report);

/* What is wrong with a configuration, or doubtful, each with what to measure instead. */
void sizing_text_complaints(FILE *out, const char *title, const struct config_list *list);

#endif

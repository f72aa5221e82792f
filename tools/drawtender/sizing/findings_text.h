/* findings_text.h: what a builder asks, as text for people. */
#ifndef TOOLS_DRAWTENDER_FINDINGS_TEXT_H
#define TOOLS_DRAWTENDER_FINDINGS_TEXT_H

#include "plots/sizing_report.h"

#include <stdio.h>

void findings_text(FILE *out, const struct sizing_report *report);

/* Only what is bad, or not known well enough. */
void findings_text_doubts(FILE *out, const struct sizing_report *report);

#endif

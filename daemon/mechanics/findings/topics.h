/* topics.h: each topic adds its rows. Private to this room. */
#ifndef MECHANICS_FINDINGS_TOPICS_H
#define MECHANICS_FINDINGS_TOPICS_H

#include "mechanics/findings/rows.h"

void topic_heat(const struct sizing_given *given, const struct sizing *sizing,
                struct findings *findings);
void topic_loads(const struct sizing_given *given, const struct sizing *sizing,
                 struct findings *findings);
void topic_hold(const struct sizing_given *given, struct findings *findings);
void topic_backlash(const struct sizing_given *given, const struct sizing *sizing,
                    struct findings *findings);
void topic_stiffness(const struct sizing_given *given, struct findings *findings);
void topic_scale(const struct sizing_given *given, const struct sizing *sizing,
                 struct findings *findings);
void topic_ropes(const struct sizing_given *given, struct findings *findings);
void topic_slip(const struct sizing_given *given, struct findings *findings);

#endif

#include "mechanics/findings/findings.h"

#include "mechanics/findings/topics.h"

struct findings findings_of(const struct sizing_given *given, const struct sizing *sizing) {
    static const struct findings none; /* as in verdict.c */
    struct findings findings = none;
    bool has_chain = !given->is_hand && (given->missing & ~(unsigned)SIZING_OF_MOTOR) == 0;
    if (has_chain && given->missing == 0) {
        topic_heat(given, sizing, &findings);
    }
    if (has_chain) {
        topic_loads(given, sizing, &findings);
        topic_hold(given, &findings);
        topic_backlash(given, sizing, &findings);
        topic_stiffness(given, &findings);
        topic_scale(given, sizing, &findings);
        topic_ropes(given, &findings);
        topic_slip(given, &findings);
    }
    return findings;
}

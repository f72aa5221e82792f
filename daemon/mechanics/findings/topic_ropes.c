/* Counterweight ropes of a vertical lift. */
#include "mechanics/findings/topics.h"

#include <math.h>

void topic_ropes(const struct sizing_given *given, struct findings *findings) {
    const struct rope *rope = &given->builder.rope;
    const struct balance_ropes *ropes = &given->chain.balance.ropes;
    if (given->chain.lift.kind != LIFT_VERTICAL) {
        return;
    }
    double tension_n = ropes->ropes > 0 ? rope_tension_n(ropes) : NAN;
    findings_want(findings, FINDING_ROPE_TENSION, tension_n);
    if (isnan(tension_n)) {
        return;
    }
    findings_judge(findings, FINDING_ROPE_SAFETY, rope->breaking_n / tension_n, ROPE_SAFETY_LEAST,
                   INFINITY);
    if (!rope->is_chain) {
        findings_want(findings, FINDING_ROPE_STRETCH, rope_stretch_m(rope, ropes));
        struct finding *sheave =
            findings_judge(findings, FINDING_ROPE_SHEAVE, rope->sheave_m / rope->diameter_m,
                           ROPE_SHEAVE_LEAST, INFINITY);
        sheave->needs = isnan(rope->diameter_m) ? "/leaf/ropes/diameter" : NULL;
    }
}

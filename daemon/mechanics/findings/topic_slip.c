/* Slip of a rolling lift's segment. */
#include "mechanics/findings/topics.h"
#include "mechanics/lift/slip.h"

#include <math.h>

/* Spared of the track's friction: a judgement, no source. */
static const double spare = 1.5;

void topic_slip(const struct sizing_given *given, struct findings *findings) {
    if (given->chain.lift.kind != LIFT_ROLLING) {
        return;
    }
    struct slip slip = slip_of(&given->chain);
    findings_report(findings, FINDING_SLIP_PUSH, slip.push_n)->at = slip.at;
    if (given->builder.is_track_toothed) {
        findings_report(findings, FINDING_SLIP, slip.needed);
    } else {
        findings_judge(findings, FINDING_SLIP, slip.needed, -INFINITY,
                       given->builder.track_mu / spare);
    }
}

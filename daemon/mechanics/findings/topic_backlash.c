/* Backlash of the whole train of gears, at the toe and against the contacts. */
#include "mechanics/drive/backlash.h"
#include "mechanics/findings/topics.h"

#include <math.h>

/* Where gravity changes sides within the travel; NAN: nowhere. */
static double even_at(const struct chain *chain) {
    double before = balance_moment(&chain->balance, 0);
    for (int i = 1; i <= CHAIN_STEPS; i++) {
        double position = chain->lift.travel * i / CHAIN_STEPS;
        double here = balance_moment(&chain->balance, position);
        if (before * here < 0) {
            return position - chain->lift.travel / CHAIN_STEPS * here / (here - before);
        }
        before = here;
    }
    return NAN;
}

void topic_backlash(const struct sizing_given *given, const struct sizing *sizing,
                    struct findings *findings) {
    const struct chain *chain = &given->chain;
    bool is_vertical = chain->lift.kind == LIFT_VERTICAL;
    double rack_m = backlash_at_rack_m(&chain->drive, &given->builder.backlash);
    double play = rack_m / chain_least_arm(chain, NULL); /* of the position, where it is greatest */
    double seated = rack_m / lift_rack_arm(&chain->lift, 0);
    double even = chain->lift.kind == LIFT_SWING ? NAN : even_at(chain);
    findings_report(findings, FINDING_PLAY_RACK, rack_m);
    double toe_m = is_vertical ? seated : seated * given->toe_x_m;
    if (sizing->seat_n > 0) {
        findings_report(findings, FINDING_PLAY_TOE, toe_m); /* its weight takes it out */
    } else {
        findings_judge(findings, FINDING_PLAY_TOE, toe_m, -INFINITY, given->builder.joint_m)
            ->needs = isnan(toe_m) ? "/leaf/toe" : NULL;
    }
    findings_judge(findings, FINDING_PLAY_TRAVEL, play / chain->lift.travel, -INFINITY,
                   given->builder.tolerance_frac);
    if (!isnan(even)) {
        double there = rack_m / lift_rack_arm(&chain->lift, even);
        findings_report(findings, FINDING_PLAY_FALLS, is_vertical ? there : there * given->toe_x_m)
            ->at = even;
    }
}

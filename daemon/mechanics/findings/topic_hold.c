/* Holding and bumping: what an open leaf bears from a hand. */
#include "mechanics/findings/topics.h"
#include "mechanics/hold/bump.h"
#include "mechanics/loads/tooth.h"

#include <math.h>

/* Spared over the push that is reckoned with: a judgement, no source. */
static const double spare = 1.5;

static void judge(const struct sizing_given *given, enum finding_about about, struct bump bump,
                  struct findings *findings) {
    findings_judge(findings, about, bump.push_n, spare * given->builder.push_n, INFINITY)->at =
        bump.at;
}

static void ask_drive(const struct sizing_given *given, struct findings *findings) {
    const struct chain *chain = &given->chain;
    const struct builder_given *builder = &given->builder;
    struct bump turns = bump_turns(chain, given->toe_x_m, &given->stop);
    double tooth_n =
        tooth_force_n(builder->tooth_pa, builder->face_m, builder->module_m, builder->teeth);
    if ((given->missing & SIZING_MOTOR) != 0) { /* it holds, too */
        findings_want(findings, FINDING_PUSH_TURNS, NAN)->needs = "/motor";
    } else if (isfinite(turns.push_n)) {
        judge(given, FINDING_PUSH_TURNS, turns, findings);
    }
    if (isnan(tooth_n)) {
        findings_want(findings, FINDING_PUSH_BREAKS, NAN);
    } else {
        judge(given, FINDING_PUSH_BREAKS, bump_by_rack(chain, given->toe_x_m, tooth_n), findings);
    }
}

static void ask_tower(const struct sizing_given *given, struct findings *findings) {
    const struct bump_tower *tower = &given->builder.tower;
    if (isnan(tower->mass_kg)) {
        findings_want(findings, FINDING_PUSH_TIPS, NAN);
        return;
    }
    judge(given, FINDING_PUSH_TIPS, bump_tips(&given->chain, given->toe_x_m, tower), findings);
    judge(given, FINDING_PUSH_TIPS_SIDEWAYS,
          bump_tips_sideways(&given->chain, given->toe_x_m, tower), findings);
}

void topic_hold(const struct sizing_given *given, struct findings *findings) {
    enum lift_kind kind = given->chain.lift.kind;
    if (kind == LIFT_VERTICAL) {
        return; /* nobody leans on a span that hangs */
    }
    if (isnan(given->toe_x_m)) {
        findings_want(findings, FINDING_PUSH, NAN);
        return;
    }
    findings_report(findings, FINDING_PUSH, given->builder.push_n);
    ask_drive(given, findings);
    if (kind == LIFT_SECTOR || kind == LIFT_STRUT) {
        ask_tower(given, findings);
    }
}

/* What would look right: prototype and model. */
#include "mechanics/findings/topics.h"
#include "mechanics/scale/scale.h"

#include <math.h>

static double fastest_m_s(const struct sizing_given *given) {
    double fastest = NAN;
    for (unsigned i = 0; i < SIZING_ENDS_MAX; i++) {
        if (given->end[i].has_train) {
            fastest = fmax(fastest, given->end[i].braked.speed_m_s); /* NAN gives way */
        }
    }
    return fastest;
}

void topic_scale(const struct sizing_given *given, const struct sizing *sizing,
                 struct findings *findings) {
    const struct builder_given *builder = &given->builder;
    const struct lift *lift = &given->chain.lift;
    double ratio = builder->scale;
    double toe_m = lift->kind == LIFT_VERTICAL ? 1 : given->toe_x_m; /* a lift's speed is its own */
    double toe_m_s = sizing->up.peak_frac_s * lift->travel * toe_m;
    findings_want(findings, FINDING_SCALE, ratio);
    findings_report(findings, FINDING_OPENING_RIGHT,
                    scale_model_s(builder->prototype_opening_s, ratio));
    findings_report(findings, FINDING_OPENING_AS, scale_prototype_s(sizing->up.duration_s, ratio));
    findings_report(findings, FINDING_TOE_SPEED_AS, scale_prototype_m_s(toe_m_s, ratio));
    findings_report(findings, FINDING_LEAF_AS, given->toe_x_m * ratio);
    findings_report(findings, FINDING_LEAF_RIGHT, builder->prototype_leaf_m / ratio);
    findings_report(findings, FINDING_MASS_AS,
                    scale_prototype_kg(given->chain.balance.mass_kg, ratio));
    findings_report(findings, FINDING_TRAIN_AS,
                    train_stop_prototype_m_s(fastest_m_s(given), ratio));
}

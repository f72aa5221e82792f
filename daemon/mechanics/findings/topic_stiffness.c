/* How much the leaf bends, and the step at the rail joint. */
#include "mechanics/findings/topics.h"
#include "mechanics/number.h"
#include "mechanics/stiffness/beam.h"

#include <math.h>

/* The span by this much: AREMA's limit for steel railway spans (from memory). */
static const double bend_share = 640;

/* What is missing, before what the list says. */
static const char *needs_of(const struct sizing_given *given) {
    if (isnan(given->builder.stiffness_n_m2)) {
        return "/leaf/girders";
    }
    bool has_toe = given->chain.lift.kind == LIFT_VERTICAL || !isnan(given->toe_x_m);
    return has_toe ? "/tracks/0/trains/mass" : "/leaf/toe";
}

static double span_m(const struct sizing_given *given) {
    bool is_vertical = given->chain.lift.kind == LIFT_VERTICAL;
    return is_vertical && given->builder.trains > 0 ? given->builder.train[0].to_m : given->toe_x_m;
}

/* The heaviest train of each track at once, as long as the longest. */
static struct beam_train train_of(const struct builder_given *builder) {
    struct beam_train train = {0, 0};
    for (unsigned i = 0; i < builder->trains; i++) {
        double length_m = builder->train[i].length_m;
        train.load_n_m += builder->train[i].mass_kg * NUMBER_GRAVITY_M_S2 / length_m;
        train.length_m = fmax(train.length_m, length_m);
    }
    return train;
}

void topic_stiffness(const struct sizing_given *given, struct findings *findings) {
    const struct builder_given *builder = &given->builder;
    struct beam_train train = train_of(builder);
    double length_m = span_m(given), stiffness = builder->stiffness_n_m2;
    double slope = beam_slope(&train, length_m, stiffness);
    findings_report(findings, FINDING_STIFFNESS, stiffness);
    if (given->chain.lift.kind != LIFT_VERTICAL) {
        findings_want(findings, FINDING_TOE_SAG,
                      beam_toe_sag_m(builder->leaf_n_m, given->toe_x_m, stiffness))
            ->needs = needs_of(given);
    }
    struct finding *bend =
        findings_judge(findings, FINDING_BEND, beam_bend_m(&train, length_m, stiffness), -INFINITY,
                       length_m / bend_share);
    bend->needs = needs_of(given);
    struct finding *step = findings_judge(findings, FINDING_STEP, slope * builder->overhang_m,
                                          -INFINITY, builder->joint_m);
    step->needs = isnan(slope) ? needs_of(given) : "/scale";
}

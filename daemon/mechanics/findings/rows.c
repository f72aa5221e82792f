#include "mechanics/findings/rows.h"

#include <math.h>

static struct finding *add(struct findings *findings, enum finding_about about) {
    static struct finding lost; /* beyond what there is room for: never read */
    struct finding *finding =
        findings->count < FINDINGS_MAX ? &findings->finding[findings->count++] : &lost;
    *finding = (struct finding){.about = about,
                                .state = VERDICT_GOOD,
                                .value = NAN,
                                .least = -INFINITY,
                                .most = INFINITY,
                                .margin = NAN,
                                .at = NAN};
    return finding;
}

struct finding *findings_report(struct findings *findings, enum finding_about about, double value) {
    struct finding *finding = add(findings, about);
    finding->value = value;
    if (isnan(value)) {
        findings->count--;
    }
    return finding;
}

struct finding *findings_want(struct findings *findings, enum finding_about about, double value) {
    if (!isnan(value)) {
        return findings_report(findings, about, value);
    }
    return findings_judge(findings, about, value, -INFINITY, INFINITY);
}

struct finding *findings_judge(struct findings *findings, enum finding_about about, double value,
                               double least, double most) {
    struct finding *finding = add(findings, about);
    finding->is_judged = true;
    finding->value = value;
    finding->least = least;
    finding->most = most;
    finding->margin = fmin(value - least, most - value);
    if (isnan(value) || isnan(least) || isnan(most)) {
        finding->state = VERDICT_UNKNOWN;
        finding->margin = NAN;
    } else {
        finding->state = finding->margin >= 0 ? VERDICT_GOOD : VERDICT_BAD;
    }
    return finding;
}

enum finding_topic finding_topic(enum finding_about about) {
    static const enum finding_topic topics[FINDING_ABOUTS] = {
#define X(id, topic, key, unit, what, needs) [FINDING_##id] = FINDING_TOPIC_##topic,
        FINDING_LIST(X)
#undef X
    };
    return topics[about];
}

unsigned findings_bad(const struct findings *findings) {
    unsigned bad = 0;
    for (unsigned i = 0; i < findings->count; i++) {
        bad += findings->finding[i].state == VERDICT_BAD;
    }
    return bad;
}

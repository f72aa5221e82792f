#include "plots/sizing_spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* All that is too large for the stack: the configuration with one value moved, either way. */
struct moved {
    struct config config;
    struct config_report unmoved, complaints;
    struct sizing_report report[2]; /* the value down, and up */
};

/* --- what becomes of a margin; NAN: there is no such verdict then --- */

struct range {
    double value, least, most;
};

/* Of what is good, to the nearer bound; of what is bad, to the one that it has passed: it could
 * come so far back that it passes the other. */
static double margin_of(struct range unmoved, struct range moved) {
    double above = moved.value - moved.least;
    double below = moved.most - moved.value;
    bool is_too_little = unmoved.value < unmoved.least;
    bool is_too_much = unmoved.value > unmoved.most;
    return is_too_little ? above : is_too_much ? below : fmin(above, below);
}

static bool is_same(const struct verdict *one, const struct verdict *other) {
    return one->about == other->about &&
           (one->about < VERDICT_STOP_SECTION || one->index == other->index);
}

static struct range range_of_verdict(const struct verdict *verdict) {
    return (struct range){verdict->value, verdict->least, verdict->most};
}

static double margin_of_verdict(const struct verdict *unmoved, const struct verdicts *verdicts) {
    for (unsigned i = 0; i < verdicts->count; i++) {
        if (is_same(&verdicts->verdict[i], unmoved)) {
            return margin_of(range_of_verdict(unmoved), range_of_verdict(&verdicts->verdict[i]));
        }
    }
    return NAN;
}

static struct range range_of_finding(const struct finding *finding) {
    return (struct range){finding->value, finding->least, finding->most};
}

/* Of what is only told, the value. */
static double margin_of_finding(const struct finding *unmoved, const struct findings *findings) {
    for (unsigned i = 0; i < findings->count; i++) {
        const struct finding *finding = &findings->finding[i];
        if (finding->about == unmoved->about) {
            return unmoved->is_judged
                       ? margin_of(range_of_finding(unmoved), range_of_finding(finding))
                       : finding->value;
        }
    }
    return NAN;
}

/* --- one input --- */

static void add_doubts(struct sizing_report *report, const struct sizing_report moved[2],
                       unsigned input) {
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        struct verdict *verdict = &report->verdicts.verdict[i];
        doubt_add(&verdict->doubt, verdict->margin, margin_of_verdict(verdict, &moved[0].verdicts),
                  margin_of_verdict(verdict, &moved[1].verdicts), input);
    }
    for (unsigned i = 0; i < report->findings.count; i++) {
        struct finding *finding = &report->findings.finding[i];
        doubt_add(&finding->doubt, finding->is_judged ? finding->margin : finding->value,
                  margin_of_finding(finding, &moved[0].findings),
                  margin_of_finding(finding, &moved[1].findings), input);
    }
}

static bool has_place(const struct config_list *list, const char *where) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        if (strcmp(list->complaint[i].where, where) == 0) {
            return true;
        }
    }
    return false;
}

/* The first thing that is not wrong already. */
static void note_refusal(const struct moved *moved, size_t input, int way,
                         struct sizing_refusals *refusals) {
    for (size_t i = 0; i < config_list_kept(&moved->complaints.errors); i++) {
        const struct error *complaint = &moved->complaints.errors.complaint[i];
        if (!has_place(&moved->unmoved.errors, complaint->where)) {
            if (refusals->count < SIZING_REFUSALS_MAX) {
                refusals->refusal[refusals->count] =
                    (struct sizing_refusal){input, way, *complaint};
            }
            refusals->count++;
            return;
        }
    }
}

static void look_at_input(struct config_moves *moves, size_t input, struct sizing_report *report,
                          struct moved *moved) {
    for (int side = 0; side < 2; side++) {
        int way = side == 0 ? -1 : 1;
        config_moves_read(moves, input, way, &moved->config, &moved->complaints);
        note_refusal(moved, input, way, &report->refusals);
        moved->report[side].verdicts.count = moved->report[side].findings.count = 0;
        if (moved->complaints.errors.count ==
            moved->complaints.misfits + moved->complaints.missing) {
            sizing_report_judge(&moved->config, report->index, &moved->report[side]);
        }
    }
    add_doubts(report, moved->report, (unsigned)input + 1);
}

/* --- all --- */

static void judge(struct sizing_report *report) {
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        struct verdict *verdict = &report->verdicts.verdict[i];
        if (verdict->state != VERDICT_UNKNOWN && doubt_reaches(&verdict->doubt, verdict->margin)) {
            verdict->state = VERDICT_UNSURE;
        }
    }
    for (unsigned i = 0; i < report->findings.count; i++) {
        struct finding *finding = &report->findings.finding[i];
        if (finding->is_judged && finding->state != VERDICT_UNKNOWN &&
            doubt_reaches(&finding->doubt, finding->margin)) {
            finding->state = VERDICT_UNSURE;
        }
    }
}

bool sizing_spread(struct config_moves *moves, unsigned bridges, struct sizing_report *report) {
    size_t inputs = config_moves_count(moves);
    struct moved *moved = inputs > 0 ? calloc(1, sizeof *moved) : NULL;
    if (inputs > 0 && moved == NULL) {
        return false;
    }
    for (size_t input = 0; input < inputs; input++) {
        unsigned bridge = config_moves_bridge(moves, input);
        bool is_first = input == 0 || config_moves_bridge(moves, input - 1) != bridge;
        if (bridge < bridges) {
            if (is_first) {
                config_moves_read(moves, input, 0, &moved->config, &moved->unmoved);
            }
            look_at_input(moves, input, &report[bridge], moved);
        }
    }
    for (unsigned i = 0; i < bridges; i++) {
        report[i].moves = moves;
        judge(&report[i]);
    }
    free(moved);
    return true;
}

#include "plots/sizing_spread.h"

#include <math.h>
#include <stdlib.h>

/* All that is too large for the stack: the configuration with one value moved, either way. */
struct moved {
    struct config config;
    struct config_report complaints;
    struct sizing_report report;
};

/* How far one bridge's verdicts are from their nearer bounds with one input moved, which may move
 * value and bound; NAN: there is no such verdict then. */
struct values {
    double value[VERDICTS_MAX];
};

/* From the bound that is the nearer one where nothing is moved. */
static double distance(const struct verdict *verdict, const struct verdict *unmoved) {
    bool is_least = unmoved->value - unmoved->least <= unmoved->most - unmoved->value;
    return is_least ? verdict->value - verdict->least : verdict->most - verdict->value;
}

static void take_values(const struct sizing_report *report, const struct sizing_report *moved,
                        struct values *values) {
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        const struct verdict *one = &report->verdicts.verdict[i];
        const struct verdict *other = &moved->verdicts.verdict[i];
        bool is_same = i < moved->verdicts.count && other->about == one->about;
        values->value[i] = is_same ? distance(other, one) : (double)NAN;
    }
}

/* Where one way cannot be, as a bridge that would not work, the other counts. */
static double change(double low, double value, double high) {
    if (isnan(low) || isnan(high)) {
        return fabs((isnan(low) ? high : low) - value);
    }
    return fabs(high - low) / 2;
}

static void add_change(struct sizing_report *report, const struct values *low,
                       const struct values *high, unsigned input, double *greatest) {
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        struct verdict *verdict = &report->verdicts.verdict[i];
        double part = change(low->value[i], distance(verdict, verdict), high->value[i]);
        if (part > 0) {
            verdict->spread = hypot(verdict->spread, part);
            verdict->cause = part > greatest[i] ? input + 1 : verdict->cause;
            greatest[i] = fmax(greatest[i], part);
        }
    }
}

static void judge(struct sizing_report *report) {
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        struct verdict *verdict = &report->verdicts.verdict[i];
        if (verdict->state != VERDICT_UNKNOWN && verdict->cause > 0 &&
            fabs(verdict->margin) < verdict->spread) {
            verdict->state = VERDICT_UNSURE;
        }
    }
}

static void look_at_bridge(const char *text, size_t length, unsigned bridge, size_t inputs,
                           struct sizing_report *report, struct moved *moved) {
    double greatest[VERDICTS_MAX] = {0};
    for (size_t input = 0; input < inputs; input++) {
        struct values values[2];
        for (int way = 0; way < 2; way++) {
            struct sizing_report none = {.index = 0};
            config_read_moved(text, length, input, way == 0 ? -1 : 1, &moved->config,
                              &moved->complaints);
            moved->report = none;
            if (bridge < moved->config.net.bridges) {
                sizing_report_of(&moved->config, bridge, &moved->report);
            }
            take_values(report, &moved->report, &values[way]);
        }
        add_change(report, &values[0], &values[1], (unsigned)input, greatest);
    }
    judge(report);
}

bool sizing_spread(const char *text, size_t length, unsigned bridges, struct sizing_report *report,
                   struct config_doubtful *doubtful) {
    config_find_doubtful(text, length, doubtful);
    size_t inputs = doubtful->count < CONFIG_DOUBTFUL_MAX ? doubtful->count : CONFIG_DOUBTFUL_MAX;
    struct moved *moved = inputs > 0 ? malloc(sizeof *moved) : NULL;
    if (inputs > 0 && moved == NULL) {
        return false;
    }
    for (unsigned i = 0; i < bridges && inputs > 0; i++) {
        look_at_bridge(text, length, i, inputs, &report[i], moved);
    }
    free(moved);
    return true;
}

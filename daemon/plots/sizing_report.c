#include "plots/sizing_report.h"

#include "mechanics/number.h"

#include <math.h>

/* Steps of the table over the travel, in the units shown: the first that gives few enough rows. */
static const double steps[] = {0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000};
enum { ROWS_MAX = 20 };

static bool is_vertical(const struct sizing_report *report) {
    return report->given->chain.lift.kind == LIFT_VERTICAL;
}

static double shown_per_unit(const struct sizing_report *report) {
    return is_vertical(report) ? 1000 : 180 / NUMBER_PI;
}

double sizing_report_shown(const struct sizing_report *report, double position) {
    return position * shown_per_unit(report);
}

const char *sizing_report_unit(const struct sizing_report *report) {
    return is_vertical(report) ? "mm" : "deg";
}

struct units_unit sizing_report_position(const struct sizing_report *report) {
    return is_vertical(report) ? units_unit(&report->units, UNITS_LENGTH)
                               : (struct units_unit){"deg", 180 / NUMBER_PI};
}

static double step_of(double travel_shown) {
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        if (travel_shown / steps[i] <= ROWS_MAX) {
            return steps[i];
        }
    }
    return travel_shown / ROWS_MAX;
}

static void look_at_positions(struct sizing_report *report) {
    double per_unit = sizing_report_position(report).per_si;
    double travel = report->given->chain.lift.travel;
    double step = step_of(travel * per_unit);
    /* Not a row close before the end. */
    unsigned rows = (unsigned)ceil(travel * per_unit / step - 0.25);
    for (unsigned i = 0; i < rows; i++) {
        report->position[i] = sizing_at(report->given, i * step / per_unit);
    }
    report->position[rows] = sizing_at(report->given, travel);
    report->positions = rows + 1;
}

void sizing_report_judge(const struct config *config, unsigned index,
                         struct sizing_report *report) {
    *report = (struct sizing_report){.index = index,
                                     .net = &config->net.bridge[index],
                                     .bridge = &config->bridge[index],
                                     .given = &config->bridge[index].sizing,
                                     .units = config->units};
    if (!report->given->is_hand) {
        report->sizing = sizing_of(report->given);
    }
    report->verdicts = verdicts_of(report->given, &report->sizing);
    report->findings = findings_of(report->given, &report->sizing);
}

bool sizing_report_has_chain(const struct sizing_report *report) {
    const struct sizing_given *given = report->given;
    return !given->is_hand && (given->missing & ~(unsigned)SIZING_OF_MOTOR) == 0;
}

void sizing_report_of(const struct config *config, unsigned index, struct sizing_report *report) {
    sizing_report_judge(config, index, report);
    if ((report->given->missing & SIZING_LEAF) == 0) {
        report->weights = weights_of(report->given);
    }
    if (sizing_report_has_chain(report)) {
        look_at_positions(report);
    }
}

#include "tools/drawtender/sizing/sizing_text.h"

#include "config/reader/measure.h"
#include "mechanics/number.h"
#include "plots/sizing_words.h"
#include "tools/drawtender/sizing/findings_text.h"

#include <math.h>
#include <string.h>

enum { COLUMNS = 92, WORDS_SIZE = 512, PLACES_MAX = 64, PLACE_SIZE = 128 };

void sizing_text_head(FILE *out, const char *file) {
    const char *line;
    fprintf(out, "Sizing from %s\n\n", file);
    for (size_t i = 0; (line = sizing_words_caution(i)) != NULL; i++) {
        fprintf(out, "%s\n", line);
    }
}

/* Words, broken at blanks; the first line begins with `mark`, the next at `indent`. */
static void put_wrapped(FILE *out, const char *mark, int indent, const char *words) {
    int at = fprintf(out, "%*s%s", indent, "", mark);
    const char *gap = mark[0] != '\0' ? " " : "";
    while (*words != '\0') {
        int length = (int)strcspn(words, " ");
        if (at + length >= COLUMNS) {
            at = fprintf(out, "\n%*s", indent, "");
            gap = "";
        }
        at += fprintf(out, "%s%.*s", gap, length, words);
        gap = " ";
        words += length + (words[length] == ' ');
    }
    fprintf(out, "\n");
}

static void put_advice(FILE *out, const char *place) {
    const char *words = measure_for(place);
    if (words != NULL) {
        put_wrapped(out, "to measure:", 6, words);
    }
}

void sizing_text_complaints(FILE *out, const char *title, const struct config_list *list) {
    if (list->count == 0) {
        return;
    }
    fprintf(out, "\n%s\n", title);
    for (size_t i = 0; i < config_list_kept(list); i++) {
        const struct error *complaint = &list->complaint[i];
        fprintf(out, "  %s:\n", complaint->where);
        put_wrapped(out, "", 4, complaint->what);
        put_advice(out, complaint->where);
    }
    if (config_list_kept(list) < list->count) {
        fprintf(out, "  and %zu more\n", list->count - config_list_kept(list));
    }
}

static void put_verdicts(FILE *out, const struct sizing_report *report) {
    static const char *const marks[] = {[VERDICT_GOOD] = "good",
                                        [VERDICT_BAD] = "BAD",
                                        [VERDICT_UNKNOWN] = "?",
                                        [VERDICT_UNSURE] = "?"};
    int width = 12;
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        width = report->verdicts.verdict[i].doubt.cause > 0 ? 20 : width; /* "1.99 N +- 2.89 N" */
    }
    fprintf(out, "\nVerdicts%*s\n", width - 1, "margin");
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        const struct verdict *verdict = &report->verdicts.verdict[i];
        char words[WORDS_SIZE];
        char margin[64];
        sizing_words_verdict(report, verdict, words, sizeof words);
        sizing_words_margin(report, verdict, margin, sizeof margin);
        fprintf(out, "  %-4s %*s  %s\n", marks[verdict->state], width, margin, words);
    }
}

/* Each missing place once. */
static void put_missing(FILE *out, const struct sizing_report *report) {
    static char places[PLACES_MAX][PLACE_SIZE];
    unsigned count = 0;
    for (unsigned i = 0; i < report->verdicts.count * VERDICT_NEEDS_COUNT; i++) {
        const struct verdict *verdict = &report->verdicts.verdict[i / VERDICT_NEEDS_COUNT];
        unsigned need = 1u << i % VERDICT_NEEDS_COUNT;
        if ((verdict->needs & need) == 0 || count == PLACES_MAX) {
            continue;
        }
        sizing_words_place(report, verdict, (enum verdict_need)need, places[count], PLACE_SIZE);
        bool is_new = true;
        for (unsigned j = 0; j < count; j++) {
            is_new = is_new && strcmp(places[j], places[count]) != 0;
        }
        count += is_new;
    }
    if (count > 0) {
        fprintf(out, "\nMissing\n");
    }
    for (unsigned i = 0; i < count; i++) {
        fprintf(out, "  %s\n", places[i]);
        put_advice(out, places[i]);
    }
}

static void put_row(FILE *out, const char *name, double value, const char *unit) {
    if (!isnan(value)) {
        fprintf(out, "  %-36s %10.4g%s%s\n", name, value, unit[0] != '\0' ? " " : "", unit);
    }
}

/* A value in SI, shown in the unit of the configuration. */
static void put_in_unit(FILE *out, const struct sizing_report *report, const char *name, double si,
                        enum units_shown shown) {
    struct units_unit unit = units_unit(&report->units, shown);
    put_row(out, name, si * unit.per_si, unit.name);
}

/* About the line that it turns on. That of a rolling lift moves; what the motor feels is the
 * inertia about the line of contact, which is there under the roll centre. */
static void put_inertia(FILE *out, const struct sizing_report *report) {
    const struct balance *balance = &report->given->chain.balance;
    if (balance->kind == LIFT_ROLLING) {
        put_in_unit(out, report, "inertia about the roll centre", balance->inertia_kg_m2,
                    UNITS_INERTIA);
        put_in_unit(out, report, "  where it rolls, seated", balance_inertia(balance, 0),
                    UNITS_INERTIA);
    } else {
        put_in_unit(out, report,
                    balance->kind == LIFT_SWING ? "inertia about the pivot"
                                                : "inertia about the trunnion",
                    balance->inertia_kg_m2, UNITS_INERTIA);
    }
}

static void put_balance(FILE *out, const struct sizing_report *report) {
    const struct balance *balance = &report->given->chain.balance;
    if (balance->kind == LIFT_VERTICAL) {
        double even_m = balance_ropes_even_m(&balance->ropes);
        bool is_within = even_m >= 0 && even_m <= report->given->chain.lift.travel;
        put_in_unit(out, report, "ropes balance the span at", is_within ? even_m : NAN,
                    UNITS_LENGTH);
        return;
    }
    struct balance_resultant resultant = balance_resultant(balance);
    put_inertia(out, report);
    put_in_unit(out, report, "centre of gravity from the axis", resultant.radius_m, UNITS_LENGTH);
    if (balance->kind != LIFT_SWING) {
        put_row(out, "  at a balance angle of", resultant.angle_rad * 180 / NUMBER_PI, "deg");
        put_row(out, "  so that it balances at", resultant.even_rad * 180 / NUMBER_PI, "deg");
    }
}

static void put_values(FILE *out, const struct sizing_report *report) {
    const struct sizing *sizing = &report->sizing;
    const struct chain *chain = &report->given->chain;
    double full_speed = report->given->law.full_frac_s * chain->lift.travel;
    fprintf(out, "\nLift and motor\n");
    struct units_unit place = sizing_report_position(report);
    put_row(out, "travel", chain->lift.travel * place.per_si, place.name);
    put_in_unit(out, report, "moving mass", chain->balance.mass_kg, UNITS_MASS);
    put_balance(out, report);
    if (chain->lift.kind == LIFT_SWING) {
        put_in_unit(out, report, "most on one balance wheel", sizing->swing.wheel_n, UNITS_FORCE);
        put_in_unit(out, report, "on the pivot, seated", sizing->swing.pivot_n, UNITS_FORCE);
    }
    put_row(out, "gear ratio", drive_ratio(&chain->drive), "");
    put_row(out, "worm's lock margin", sizing->worm_margin, "");
    bool is_swing = chain->lift.kind == LIFT_SWING; /* gravity does not turn it */
    put_in_unit(out, report, "motor off, driven back with",
                is_swing ? NAN : sizing->hold.torque_n_m, UNITS_MOTOR_TORQUE);
    put_in_unit(out, report, "  its own friction at rest",
                (report->given->missing & SIZING_MOTOR) == 0 ? report->given->stop.motor_n_m
                                                             : (double)NAN,
                UNITS_MOTOR_TORQUE);
    fprintf(out, "  %-36s %10.4g %s/s\n", "full speed", full_speed * place.per_si, place.name);
    put_row(out, "  motor then", sizing->motor_rad_s * 30 / NUMBER_PI, "rpm");
    put_in_unit(out, report, "greatest motor torque", sizing->demand.torque_n_m,
                UNITS_MOTOR_TORQUE);
    put_row(out, "  its current", sizing->demand.current_a, "A");
    put_in_unit(out, report, "stall torque at the supply", sizing->best.stall_n_m,
                UNITS_MOTOR_TORQUE);
    put_row(out, "stall current at the supply", sizing->best.stall_a, "A");
    put_row(out, "motor works best at", sizing->best.current_a, "A");
    put_row(out, "voltage to start moving", sizing->demand.break_v, "V");
    if (report->given->has_current_sensor) {
        put_row(out, "stall watch at", report->given->stall_a, "A");
        put_row(out, "binding watch above the expected by", report->net->setup.motion.binding_a,
                "A");
    }
    put_row(out, "opening", sizing->up.duration_s, "s");
    put_row(out, "closing", sizing->down.duration_s, "s");
}

static void put_cell(FILE *out, int width, int decimals, double value) {
    if (isnan(value)) {
        fprintf(out, "%*s", width, "-");
    } else {
        fprintf(out, "%*.*f", width, decimals, value);
    }
}

static void put_effort(FILE *out, const struct sizing_report *report,
                       const struct sizing_effort *effort) {
    put_cell(out, 8, 2, units_unit(&report->units, UNITS_MOTOR_TORQUE).per_si * effort->torque_n_m);
    put_cell(out, 8, 2, effort->current_a);
    put_cell(out, 8, 2, effort->voltage_v);
}

static void put_positions(FILE *out, const struct sizing_report *report) {
    bool is_vertical = report->given->chain.lift.kind == LIFT_VERTICAL;
    const struct units *units = &report->units;
    struct units_unit place = sizing_report_position(report);
    struct units_unit rack = units_unit(units, UNITS_LENGTH);
    struct units_unit height = units_unit(units, UNITS_DISTANCE);
    struct units_unit moment = units_unit(units, is_vertical ? UNITS_FORCE : UNITS_MOMENT);
    const char *torque = units_unit(units, UNITS_MOTOR_TORQUE).name;
    double arm_per_si = is_vertical ? 1 : height.per_si;
    char arm[24];
    snprintf(arm, sizeof arm, "%s/%s", height.name, is_vertical ? height.name : "rad");
    fprintf(out,
            "\nOver the opening (at full speed, most friction; imbalance above 0 closes)\n"
            "                                                  |        raising        |"
            "       lowering\n"
            "      at    rack     arm imbalance highest lowest |  torque current voltage"
            " |  torque current voltage\n"
            "%8s%8s%8s%10s%8s%7s |%8s       A       V |%8s       A       V\n",
            place.name, rack.name, arm, moment.name, height.name, height.name, torque, torque);
    for (unsigned i = 0; i < report->positions; i++) {
        const struct sizing_point *point = &report->position[i];
        put_cell(out, 8, 1, point->position * place.per_si);
        put_cell(out, 8, 1, point->rack_travel_m * rack.per_si);
        put_cell(out, 8, 4, point->arm * arm_per_si);
        put_cell(out, 10, 2, point->moment * moment.per_si);
        put_cell(out, 8, 3, point->highest_m * height.per_si);
        put_cell(out, 7, 3, point->lowest_m * height.per_si);
        fprintf(out, " |");
        put_effort(out, report, &point->up);
        fprintf(out, " |");
        put_effort(out, report, &point->down);
        fprintf(out, "\n");
    }
}

static void put_travel(FILE *out, const struct sizing_report *report) {
    enum { ROWS = 12 };
    const struct sizing *sizing = &report->sizing;
    struct units_unit place = sizing_report_position(report);
    double shown = report->given->chain.lift.travel * place.per_si;
    fprintf(out,
            "\nSpeed over time\n"
            "  opening:  s     %4s   %4s/s  | closing:  s     %4s   %4s/s\n",
            place.name, place.name, place.name, place.name);
    for (int i = 0; i <= ROWS; i++) {
        const struct travel_moment *up = &sizing->up.moment[i * (TRAVEL_MOMENTS - 1) / ROWS];
        const struct travel_moment *down = &sizing->down.moment[i * (TRAVEL_MOMENTS - 1) / ROWS];
        fprintf(out, "  %11.1f %8.1f %8.2f  | %11.1f %8.1f %8.2f\n", up->time_s,
                up->position_frac * shown, up->speed_frac_s * shown, down->time_s,
                down->position_frac * shown, down->speed_frac_s * shown);
    }
}

static void put_refusals(FILE *out, const struct sizing_report *report) {
    const struct sizing_refusals *refusals = &report->refusals;
    char words[1024];
    if (refusals->count > 0) {
        fprintf(out, "\nImpossible at an end of what a value may be\n");
    }
    for (size_t i = 0; i < refusals->count && i < SIZING_REFUSALS_MAX; i++) {
        sizing_words_refusal(report, &refusals->refusal[i], words, sizeof words);
        put_wrapped(out, "", 2, words);
    }
    if (refusals->count > SIZING_REFUSALS_MAX) {
        fprintf(out, "  and %zu more\n", refusals->count - SIZING_REFUSALS_MAX);
    }
}

void sizing_text_verdicts(FILE *out, const struct sizing_report *report) {
    char weights[WORDS_SIZE];
    put_verdicts(out, report);
    sizing_words_weights(report, weights, sizeof weights);
    if (weights[0] != '\0') {
        fprintf(out, "\n");
        put_wrapped(out, "Weights:", 0, weights);
    }
    put_refusals(out, report);
}

void sizing_text_bridge(FILE *out, const struct sizing_report *report) {
    fprintf(out, "\n== %s: lift of kind \"%s\" ==\n", report->net->name, sizing_words_kind(report));
    sizing_text_verdicts(out, report);
    put_missing(out, report);
    if (sizing_report_has_chain(report)) {
        put_values(out, report);
        put_positions(out, report);
        put_travel(out, report);
        findings_text(out, report);
    }
}

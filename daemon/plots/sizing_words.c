#include "plots/sizing_words.h"

#include "mechanics/number.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* A formatted value. */
struct shown {
    char text[40];
};

static struct shown inches(double inches) {
    struct shown shown;
    if (fabs(inches) < 9.995) {
        snprintf(shown.text, sizeof shown.text, "%.2f in", inches);
    } else if (fabs(inches) < 23.95) {
        snprintf(shown.text, sizeof shown.text, "%.1f in", inches);
    } else {
        snprintf(shown.text, sizeof shown.text, "%.2f ft", inches / 12);
    }
    return shown;
}

static struct shown length(const struct sizing_report *report, double m) {
    struct shown shown;
    double mm = m * 1000;
    if (report->units.is_customary[QUANTITY_LENGTH]) {
        return inches(m * units_unit(&report->units, UNITS_LENGTH).per_si);
    }
    if (fabs(mm) < 9.95) {
        snprintf(shown.text, sizeof shown.text, "%.1f mm", mm);
    } else if (fabs(mm) < 999.5) {
        snprintf(shown.text, sizeof shown.text, "%.0f mm", mm);
    } else {
        snprintf(shown.text, sizeof shown.text, "%.2f m", m);
    }
    return shown;
}

/* Three digits are as much as anybody measures. */
static struct shown value_in(double value, const char *unit) {
    struct shown shown;
    snprintf(shown.text, sizeof shown.text, fabs(value) < 999.5 ? "%.3g%s%s" : "%.0f%s%s", value,
             unit[0] != '\0' ? " " : "", unit);
    return shown;
}

/* In the unit of the configuration; `number`: without its name. */
static struct shown shown_in(const struct units *units, enum units_shown what, double si) {
    struct units_unit unit = units_unit(units, what);
    return value_in(si * unit.per_si, unit.name);
}

static struct shown number(const struct units *units, enum units_shown what, double si) {
    return value_in(si * units_unit(units, what).per_si, "");
}

static struct shown percent(double share) {
    struct shown shown;
    snprintf(shown.text, sizeof shown.text, "%.*f %%", fabs(share) < 0.0995 ? 1 : 0, share * 100);
    return shown;
}

void sizing_words_position(const struct sizing_report *report, double at, char *out, size_t size) {
    struct units_unit unit = sizing_report_position(report);
    int decimals = unit.per_si < 50 ? 1 : 0; /* whole inches are coarse */
    snprintf(out, size, "%.*f %s", decimals, at * unit.per_si, unit.name);
}

static struct shown position(const struct sizing_report *report, double at) {
    struct shown shown;
    sizing_words_position(report, at, shown.text, sizeof shown.text);
    return shown;
}

__attribute__((format(printf, 3, 4))) static void say(char *out, size_t size, const char *format,
                                                      ...) {
    va_list words;
    va_start(words, format);
    vsnprintf(out, size, format, words);
    va_end(words);
}

__attribute__((format(printf, 3, 4))) static void add(char *out, size_t size, const char *format,
                                                      ...) {
    size_t used = strlen(out);
    va_list words;
    va_start(words, format);
    vsnprintf(out + used, size - used, format, words);
    va_end(words);
}

/* --- one function for each kind of verdict --- */

static bool is_bad(const struct verdict *verdict) {
    return verdict->state == VERDICT_BAD;
}

static void gap(const struct sizing_report *report, const struct verdict *verdict, char *out,
                size_t size) {
    static const char *const things[] = {
        [VERDICT_CEILING] = "the ceiling",    [VERDICT_FLOOR] = "the floor",
        [VERDICT_WALL] = "the wall behind",   [VERDICT_WEIGHT_CEILING] = "the ceiling",
        [VERDICT_WEIGHT_FLOOR] = "the floor", [VERDICT_WEIGHT_WALL] = "the wall behind"};
    const char *thing = things[verdict->about];
    bool is_weight = verdict->about >= VERDICT_WEIGHT_CEILING;
    const char *corner = is_weight ? report->bridge->weight_corner_name[verdict->index]
                                   : report->bridge->corner_name[verdict->index];
    const char *who = is_weight ? "counterweight " : "";
    if (verdict->value < 0) {
        say(out, size, "%sstrikes %s: %s too far at %s", who, thing,
            length(report, -verdict->value).text, position(report, verdict->at).text);
    } else {
        say(out, size, "%sclears %s by %s%s at %s", who, thing, is_bad(verdict) ? "only " : "",
            length(report, verdict->value).text, position(report, verdict->at).text);
    }
    if (corner[0] != '\0') {
        add(out, size, " (%s)", corner);
    }
    if (is_bad(verdict)) {
        add(out, size, "; wanted %s", length(report, verdict->least).text);
    }
}

static void arm(const struct sizing_report *report, const struct verdict *verdict, char *out,
                size_t size) {
    say(out, size, "strut keeps %s of its greatest lever arm, at %s; least %s",
        percent(verdict->value).text, position(report, verdict->at).text,
        value_in(100 * verdict->least, "%").text);
}

static void tipping(const struct sizing_report *report, const struct verdict *verdict, char *out,
                    size_t size) {
    const struct swing_stand *stand = &report->given->stand;
    say(out, size, "%s: centre of gravity %s off the pivot, %s of tipping; %s %s",
        !is_bad(verdict)                               ? "stands on its pivot"
        : verdict->value > report->sizing.swing.held_m ? "tips over"
                                                       : "comes near tipping over",
        length(report, verdict->value).text,
        shown_in(&report->units, UNITS_MOMENT, report->sizing.swing.tipping_n_m).text,
        stand->wheels_m > 0 ? "on its balance wheels at most" : "on its pivot's bearing at most",
        length(report, verdict->most).text);
}

static void seat(const struct sizing_report *report, const struct verdict *verdict, char *out,
                 size_t size) {
    enum lift_kind kind = report->given->chain.lift.kind;
    say(out, size, "%s %s, wanted %s to %s",
        verdict->about == VERDICT_HEEL ? "load on the heel's end, wedged,"
        : kind == LIFT_SWING           ? "load on the toe's end, wedged,"
        : kind == LIFT_VERTICAL        ? "load on the seats"
                                       : "toe reaction",
        shown_in(&report->units, UNITS_FORCE, verdict->value).text,
        number(&report->units, UNITS_FORCE, verdict->least).text,
        shown_in(&report->units, UNITS_FORCE, verdict->most).text);
    if (verdict->value < 0) {
        add(out, size, ": it would rise by itself");
    } else if (is_bad(verdict)) {
        add(out, size, ": %s too %s", shown_in(&report->units, UNITS_FORCE, -verdict->margin).text,
            verdict->value < verdict->least ? "little" : "much");
    }
}

static const char *const hold_parts[] = {
    [BACKDRIVE_NOTHING] = "nothing", [BACKDRIVE_TRUNNION] = "the trunnion's friction",
    [BACKDRIVE_WORM] = "the worm",   [BACKDRIVE_MOTOR] = "the motor's own friction",
    [BACKDRIVE_BRAKE] = "the brake",
};

static const char *hold_part(const struct sizing_report *report, unsigned part) {
    bool is_hung = report->given->chain.lift.kind == LIFT_VERTICAL;
    return is_hung && part == BACKDRIVE_TRUNNION ? "the sheaves' friction" : hold_parts[part];
}

/* What the span does where too little holds it. */
static void add_running_down(const struct sizing_report *report, const struct verdict *verdict,
                             char *out, size_t size) {
    const struct backdrive *held = &report->sizing.hold;
    if (report->given->chain.lift.kind == LIFT_SWING) {
        add(out, size, "; gravity does not turn it, but a push does");
        return;
    }
    add(out, size, "; at %s it turns the motor with %s", position(report, verdict->at).text,
        shown_in(&report->units, UNITS_MOTOR_TORQUE, held->torque_n_m).text);
    if (held->shorted_speed > 0) {
        struct units_unit unit = sizing_report_position(report);
        add(out, size, ", moving at %s %s/s with the motor shorted",
            value_in(held->shorted_speed * unit.per_si, "").text, unit.name);
    }
}

static void hold(const struct sizing_report *report, const struct verdict *verdict, char *out,
                 size_t size) {
    struct shown margin =
        isinf(verdict->value) ? (struct shown){SIZING_WORDS_ENDLESS} : value_in(verdict->value, "");
    struct shown least = value_in(verdict->least, "");
    if (verdict->value < 1) {
        say(out, size, "motor off, nothing holds the span: margin %s, it holds from 1",
            margin.text);
        add_running_down(report, verdict, out, size);
        return;
    }
    say(out, size, "motor off, %s holds the span, margin %s%s", hold_part(report, verdict->index),
        is_bad(verdict) ? "only " : "", margin.text);
    if (verdict->index == BACKDRIVE_WORM && report->sizing.worm_margin < verdict->value) {
        add(out, size, " (the worm alone %s)", value_in(report->sizing.worm_margin, "").text);
    }
    if ((verdict->needs & VERDICT_NEEDS_REST_TORQUE) != 0) {
        add(out, size, " (taken as half of its no-load torque)");
    }
    add(out, size, "; wanted %s", least.text);
    if (is_bad(verdict)) {
        add(out, size, ", or a brake");
    }
}

static void torque(const struct sizing_report *report, const struct verdict *verdict, char *out,
                   size_t size) {
    say(out, size, "motor works at %s of stall, %s at %s; most %s", percent(verdict->value).text,
        report->sizing.demand.torque_way > 0 ? "raising" : "lowering",
        position(report, verdict->at).text, value_in(100 * verdict->most, "%").text);
    if ((verdict->needs & VERDICT_NEEDS_FRICTION) != 0) {
        add(out, size, " (calculated without friction)");
    }
}

static void voltage(const struct verdict *verdict, char *out, size_t size) {
    say(out, size,
        is_bad(verdict) ? "full speed needs %s; the supply gives only %s"
                        : "full speed takes %s of the supply's %s",
        value_in(verdict->value, "V").text, value_in(verdict->most, "V").text);
}

static void supply(const struct verdict *verdict, char *out, size_t size) {
    say(out, size,
        is_bad(verdict) ? "moving needs %s; the supply gives only %s"
                        : "moving takes %s of the supply's %s",
        value_in(verdict->value, "A").text, value_in(verdict->most, "A").text);
}

static void stall_watch(const struct verdict *verdict, char *out, size_t size) {
    struct shown at = value_in(verdict->value, "A");
    struct shown least = value_in(verdict->least, "A");
    struct shown most = value_in(verdict->most, "A");
    if (verdict->value < verdict->least) {
        say(out, size, "stall watch at %s would trip while moving, which takes %s", at.text,
            least.text);
    } else if (verdict->value > verdict->most) {
        say(out, size, "stall watch at %s would not see a stall, which takes %s while it creeps",
            at.text, most.text);
    } else {
        say(out, size, "stall watch at %s lies between %s moving and %s stalled while it creeps",
            at.text, least.text, most.text);
    }
}

static void duration(const struct verdict *verdict, char *out, size_t size) {
    say(out, size, "%s takes %s; its limit is %s",
        verdict->about == VERDICT_RAISING ? "opening" : "closing",
        value_in(verdict->value, "s").text, value_in(verdict->most, "s").text);
}

static void name_end(const struct sizing_report *report, unsigned index, char *out, size_t size) {
    say(out, size, "%s %s: ", report->net->track_name[index / TRACK_ENDS],
        report->net->end_name[index / TRACK_ENDS][index % TRACK_ENDS]);
}

static void end(const struct sizing_report *report, const struct verdict *verdict, char *out,
                size_t size) {
    bool is_time = verdict->about == VERDICT_APPROACH_LOCK;
    const char *what = verdict->about == VERDICT_STOP_SECTION ? "stop section"
                       : is_time                              ? "approach locking"
                                                              : "approach";
    const char *until =
        verdict->about == VERDICT_STOP_SECTION ? "stops without power in" : "stops in";
    name_end(report, verdict->index, out, size);
    add(out, size, "%s %s, the worst train %s %s", what,
        is_time ? value_in(verdict->value, "s").text : length(report, verdict->value).text, until,
        is_time ? value_in(verdict->least, "s").text : length(report, verdict->least).text);
}

static void known(const struct sizing_report *report, const struct verdict *verdict, char *out,
                  size_t size) {
    switch (verdict->about) {
    case VERDICT_CEILING:
    case VERDICT_FLOOR:
    case VERDICT_WALL:
    case VERDICT_WEIGHT_CEILING:
    case VERDICT_WEIGHT_FLOOR:
    case VERDICT_WEIGHT_WALL:
        gap(report, verdict, out, size);
        break;
    case VERDICT_ARM:
        arm(report, verdict, out, size);
        break;
    case VERDICT_TIPPING:
        tipping(report, verdict, out, size);
        break;
    case VERDICT_SEAT:
    case VERDICT_HEEL:
        seat(report, verdict, out, size);
        break;
    case VERDICT_HOLD:
        hold(report, verdict, out, size);
        break;
    case VERDICT_TORQUE:
        torque(report, verdict, out, size);
        break;
    case VERDICT_VOLTAGE:
        voltage(verdict, out, size);
        break;
    case VERDICT_SUPPLY:
        supply(verdict, out, size);
        break;
    case VERDICT_STALL_WATCH:
        stall_watch(verdict, out, size);
        break;
    case VERDICT_RAISING:
    case VERDICT_LOWERING:
        duration(verdict, out, size);
        break;
    case VERDICT_STOP_SECTION:
    case VERDICT_APPROACH:
    case VERDICT_APPROACH_LOCK:
        end(report, verdict, out, size);
        break;
    case VERDICT_ABOUTS:
        break;
    }
}

/* A value of the kind that this verdict is about. */
static struct shown of_verdict(const struct sizing_report *report, const struct verdict *verdict,
                               double value) {
    const char *unit = sizing_words_unit(verdict->about);
    if (strcmp(unit, "m") == 0) {
        return length(report, value);
    }
    if (strcmp(unit, "N") == 0) {
        return shown_in(&report->units, UNITS_FORCE, value);
    }
    if (verdict->about == VERDICT_ARM || verdict->about == VERDICT_TORQUE) {
        return percent(value);
    }
    return value_in(value, unit);
}

/* How far it may be off: nobody knows that to more than two digits. */
static struct shown off_by(const struct sizing_report *report, const struct verdict *verdict,
                           double off) {
    if (isinf(off)) {
        return (struct shown){SIZING_WORDS_ENDLESS};
    }
    if (off == 0) {
        return of_verdict(report, verdict, off);
    }
    double digit = pow(10, floor(log10(off)) - 1);
    bool is_share = verdict->about == VERDICT_ARM || verdict->about == VERDICT_TORQUE;
    double rounded = digit * round(off / digit);
    return is_share ? value_in(rounded * 100, "%") : of_verdict(report, verdict, rounded);
}

/* --- not known --- */

/* What is reckoned all the same. */
static void unknown(const struct sizing_report *report, const struct verdict *verdict, char *out,
                    size_t size) {
    static const char *const things[VERDICT_ABOUTS] = {
        [VERDICT_CEILING] = "gap to the ceiling",
        [VERDICT_FLOOR] = "gap to the floor",
        [VERDICT_WALL] = "gap to the wall",
        [VERDICT_WEIGHT_CEILING] = "counterweight's gap to the ceiling",
        [VERDICT_WEIGHT_FLOOR] = "counterweight's gap to the floor",
        [VERDICT_WEIGHT_WALL] = "counterweight's gap to the wall",
        [VERDICT_SEAT] = "load on the seat",
        [VERDICT_HEEL] = "load on the heel's end",
        [VERDICT_HOLD] = "what holds the span with the motor off",
        [VERDICT_TORQUE] = "motor's torque",
        [VERDICT_VOLTAGE] = "motor's voltage at full speed",
        [VERDICT_SUPPLY] = "current moving",
        [VERDICT_STOP_SECTION] = "stop section",
        [VERDICT_APPROACH] = "approach",
        [VERDICT_APPROACH_LOCK] = "approach locking",
    };
    out[0] = '\0';
    if (verdict->about >= VERDICT_STOP_SECTION) {
        name_end(report, verdict->index, out, size);
    }
    add(out, size, "%s", things[verdict->about]);
    if (!isnan(verdict->value)) {
        add(out, size, " %s", of_verdict(report, verdict, verdict->value).text);
    }
    add(out, size, " not judged:");
    for (unsigned i = 0; i < VERDICT_NEEDS_COUNT; i++) {
        if ((verdict->needs & 1u << i) != 0) {
            char place[128];
            sizing_words_place(report, verdict, (enum verdict_need)(1 << i), place, sizeof place);
            add(out, size, "%s %s", out[strlen(out) - 1] == ':' ? "" : " and", place);
        }
    }
    add(out, size, " missing");
}

void sizing_words_verdict(const struct sizing_report *report, const struct verdict *verdict,
                          char *out, size_t size) {
    if (verdict->state == VERDICT_UNKNOWN) {
        unknown(report, verdict, out, size);
    } else {
        known(report, verdict, out, size);
    }
    if (verdict->state == VERDICT_UNSURE) {
        double off = doubt_towards(&verdict->doubt, verdict->margin);
        sizing_words_unsure(report, &verdict->doubt, off_by(report, verdict, off).text, out, size);
    }
}

const char *sizing_words_cause(const struct sizing_report *report, const struct doubt *doubt) {
    bool is_known = report->moves != NULL && doubt->cause > 0;
    return is_known ? config_moves_where(report->moves, doubt->cause - 1) : NULL;
}

void sizing_words_unsure(const struct sizing_report *report, const struct doubt *doubt,
                         const char *off, char *out, size_t size) {
    add(out, size, "; not known well enough, it may be off by %s: measure %s first", off,
        sizing_words_cause(report, doubt));
}

void sizing_words_refusal(const struct sizing_report *report, const struct sizing_refusal *refusal,
                          char *out, size_t size) {
    char value[64];
    config_moves_text(report->moves, refusal->input, refusal->way, value, sizeof value);
    say(out, size, "%s: at its %s, %s, the bridge would be refused: ",
        config_moves_where(report->moves, refusal->input), refusal->way < 0 ? "least" : "most",
        value);
    if (strcmp(refusal->complaint.where, config_moves_where(report->moves, refusal->input)) != 0) {
        add(out, size, "%s: ", refusal->complaint.where);
    }
    add(out, size, "%s", refusal->complaint.what);
}

void sizing_words_margin(const struct sizing_report *report, const struct verdict *verdict,
                         char *out, size_t size) {
    if (verdict->state == VERDICT_UNKNOWN) {
        say(out, size, "%s", "");
    } else if (isinf(verdict->margin)) {
        say(out, size, "-");
    } else {
        say(out, size, "%s", of_verdict(report, verdict, verdict->margin).text);
    }
    double wider = doubt_wider(&verdict->doubt);
    if (verdict->state != VERDICT_UNKNOWN && wider > 0) {
        add(out, size, " +- %s", off_by(report, verdict, wider).text);
    }
}

/* --- names --- */

const char *sizing_words_about(enum verdict_about about) {
    static const char *const names[VERDICT_ABOUTS] = {
        [VERDICT_CEILING] = "ceiling",
        [VERDICT_FLOOR] = "floor",
        [VERDICT_WALL] = "wall",
        [VERDICT_WEIGHT_CEILING] = "counterweight-ceiling",
        [VERDICT_WEIGHT_FLOOR] = "counterweight-floor",
        [VERDICT_WEIGHT_WALL] = "counterweight-wall",
        [VERDICT_ARM] = "lever-arm",
        [VERDICT_TIPPING] = "tipping",
        [VERDICT_SEAT] = "seat",
        [VERDICT_HEEL] = "heel",
        [VERDICT_HOLD] = "hold",
        [VERDICT_TORQUE] = "torque",
        [VERDICT_VOLTAGE] = "voltage",
        [VERDICT_SUPPLY] = "supply",
        [VERDICT_STALL_WATCH] = "stall-watch",
        [VERDICT_RAISING] = "opening",
        [VERDICT_LOWERING] = "closing",
        [VERDICT_STOP_SECTION] = "stop-section",
        [VERDICT_APPROACH] = "approach",
        [VERDICT_APPROACH_LOCK] = "approach-lock",
    };
    return names[about];
}

const char *sizing_words_holds(const struct sizing_report *report) {
    return hold_parts[report->sizing.hold.by];
}

const char *sizing_words_state(enum verdict_state state) {
    static const char *const names[] = {[VERDICT_GOOD] = "good",
                                        [VERDICT_BAD] = "bad",
                                        [VERDICT_UNKNOWN] = "unknown",
                                        [VERDICT_UNSURE] = "unsure"};
    return names[state];
}

const char *sizing_words_unit(enum verdict_about about) {
    static const char *const units[VERDICT_ABOUTS] = {
        [VERDICT_CEILING] = "m",        [VERDICT_FLOOR] = "m",         [VERDICT_WALL] = "m",
        [VERDICT_WEIGHT_CEILING] = "m", [VERDICT_WEIGHT_FLOOR] = "m",  [VERDICT_WEIGHT_WALL] = "m",
        [VERDICT_TIPPING] = "m",        [VERDICT_SEAT] = "N",          [VERDICT_HEEL] = "N",
        [VERDICT_VOLTAGE] = "V",        [VERDICT_SUPPLY] = "A",        [VERDICT_STALL_WATCH] = "A",
        [VERDICT_RAISING] = "s",        [VERDICT_LOWERING] = "s",      [VERDICT_STOP_SECTION] = "m",
        [VERDICT_APPROACH] = "m",       [VERDICT_APPROACH_LOCK] = "s",
    };
    return units[about] != NULL ? units[about] : "";
}

const char *sizing_words_kind(const struct sizing_report *report) {
    static const char *const names[] = {[LIFT_SECTOR] = "sector",
                                        [LIFT_STRUT] = "strut",
                                        [LIFT_ROLLING] = "rolling",
                                        [LIFT_VERTICAL] = "vertical",
                                        [LIFT_SWING] = "swing"};
    return report->given->is_hand ? "hand" : names[report->given->chain.lift.kind];
}

void sizing_words_place(const struct sizing_report *report, const struct verdict *verdict,
                        enum verdict_need need, char *out, size_t size) {
    unsigned track = verdict->index / TRACK_ENDS;
    unsigned end_index = verdict->index % TRACK_ENDS;
    say(out, size, "/bridges/%u", report->index);
    switch (need) {
    case VERDICT_NEEDS_LIFT:
        add(out, size, "/lift");
        break;
    case VERDICT_NEEDS_LEAF:
        add(out, size, "/leaf");
        break;
    case VERDICT_NEEDS_DRIVE:
        add(out, size, "/drive");
        break;
    case VERDICT_NEEDS_MOTOR:
        add(out, size, "/motor");
        break;
    case VERDICT_NEEDS_SUPPLY:
        add(out, size, "/supply");
        break;
    case VERDICT_NEEDS_OUTLINE:
        add(out, size, "/leaf/outline");
        break;
    case VERDICT_NEEDS_WEIGHT_OUTLINE:
        add(out, size, "/leaf/counterweight/outline");
        break;
    case VERDICT_NEEDS_ROOM:
        add(out, size, "/room");
        break;
    case VERDICT_NEEDS_TOE:
        add(out, size, "/leaf/toe");
        break;
    case VERDICT_NEEDS_REST_TORQUE:
        add(out, size, "/motor/rest torque");
        break;
    case VERDICT_NEEDS_HEEL:
        add(out, size, "/leaf/heel");
        break;
    case VERDICT_NEEDS_SEAT_WANTED:
        add(out, size, "/leaf/seat");
        break;
    case VERDICT_NEEDS_SUPPLY_CURRENT:
        add(out, size, "/supply/current");
        break;
    case VERDICT_NEEDS_FRICTION:
        add(out, size, "/leaf/friction");
        break;
    case VERDICT_NEEDS_TRAINS:
        add(out, size, "/tracks/%u/trains", track);
        break;
    case VERDICT_NEEDS_STOP_LENGTH:
        add(out, size, "/tracks/%u/ends/%u/stop length", track, end_index);
        break;
    case VERDICT_NEEDS_APPROACH_LENGTH:
        add(out, size, "/tracks/%u/ends/%u/approach length", track, end_index);
        break;
    }
}

/* --- weights --- */

static bool is_seat_good(const struct sizing_report *report) {
    double load = report->sizing.seat_n;
    return load >= report->given->toe_least_n && load <= report->given->toe_most_n;
}

static bool is_angle_good(const struct sizing_given *given, double angle_rad) {
    return fabs(angle_rad - given->wanted_angle_rad) <= WEIGHTS_ANGLE_WITHIN_RAD;
}

/* Of a leaf as it is: a vertical lift and a swing span have no such angle. */
static bool is_leaf_angle_good(const struct sizing_given *given) {
    enum lift_kind kind = given->chain.lift.kind;
    return kind == LIFT_VERTICAL || kind == LIFT_SWING ||
           is_angle_good(given, balance_resultant(&given->chain.balance).angle_rad);
}

static void add_angle(const struct sizing_given *given, double angle_rad, char *out, size_t size) {
    add(out, size, "balance angle %.0f deg, wanted %.0f +- %.0f deg%s",
        round(angle_rad * 180 / NUMBER_PI) + 0.0, /* no "-0" */
        given->wanted_angle_rad * 180 / NUMBER_PI, WEIGHTS_ANGLE_WITHIN_RAD * 180 / NUMBER_PI,
        given->is_angle_assumed ? " (the default of /leaf/seat/balance angle)" : "");
}

void sizing_words_angle(const struct sizing_given *given, double angle_rad, char *out,
                        size_t size) {
    out[0] = '\0';
    if (!is_angle_good(given, angle_rad)) {
        add_angle(given, angle_rad, out, size);
    }
}

void sizing_words_short_of(const struct units *units, const struct sizing_given *given,
                           const struct pockets_answer *answer, char *out, size_t size) {
    double load = answer->toe_reaction_n;
    out[0] = '\0';
    if (load < given->toe_least_n || load > given->toe_most_n) {
        add(out, size, "toe reaction %s, wanted %s to %s", shown_in(units, UNITS_FORCE, load).text,
            number(units, UNITS_FORCE, given->toe_least_n).text,
            shown_in(units, UNITS_FORCE, given->toe_most_n).text);
    }
    if (!is_angle_good(given, answer->angle_rad)) {
        add(out, size, "%s", out[0] != '\0' ? " and " : "");
        add_angle(given, answer->angle_rad, out, size);
    }
}

static void blocks(const struct sizing_report *report, char *out, size_t size) {
    const struct pockets_answer *answer = &report->weights.pockets;
    for (unsigned i = 0; i < report->given->pockets; i++) {
        add(out, size, "%s %u x %s", i > 0 ? "," : "", answer->blocks[i],
            shown_in(&report->units, UNITS_MASS, report->given->pocket[i].block_kg).text);
        if (report->bridge->pocket_name[i][0] != '\0') {
            add(out, size, " in \"%s\"", report->bridge->pocket_name[i]);
        } else {
            add(out, size, " in pocket %u", i);
        }
        add(out, size, " (now %u)", report->given->pocket_blocks[i]);
    }
    add(out, size, ": toe reaction %s, balance angle %.0f deg",
        shown_in(&report->units, UNITS_FORCE, answer->toe_reaction_n).text,
        answer->angle_rad * 180 / NUMBER_PI);
    if (!answer->is_proved) {
        add(out, size, "; not all counts were tried");
    }
}

static void add_place(const struct sizing_report *report, double place_m, char *out, size_t size) {
    add(out, size, "%s", length(report, place_m).text);
}

void sizing_words_slide(const struct sizing_report *report, unsigned i, char *out, size_t size) {
    const struct weights *weights = &report->weights;
    out[0] = '\0';
    if (report->bridge->slide_name[i][0] != '\0') {
        add(out, size, "\"%s\" at ", report->bridge->slide_name[i]);
    } else {
        add(out, size, "slide %u at ", i);
    }
    add_place(report, weights->slides.place_m[i], out, size);
    add(out, size, " (now ");
    add_place(report, report->given->slide_now_m[i], out, size);
    if (!isnan(weights->slide_least_m[i])) {
        add(out, size, "; good from ");
        add_place(report, weights->slide_least_m[i], out, size);
        add(out, size, " to ");
        add_place(report, weights->slide_most_m[i], out, size);
    }
    add(out, size, ")");
}

static void slides(const struct sizing_report *report, char *out, size_t size) {
    const struct slides_answer *answer = &report->weights.slides;
    const struct sizing_given *given = report->given;
    struct pockets_answer reached = {.toe_reaction_n =
                                         NUMBER_GRAVITY_M_S2 * answer->sx_kg_m / given->toe_x_m,
                                     .angle_rad = atan2(answer->sy_kg_m, answer->sx_kg_m)};
    bool is_swing = given->chain.lift.kind == LIFT_SWING;
    if (report->weights.is_slides_reached) {
        add(out, size, "nearest better:");
    } else if (is_swing) {
        add(out, size, "nearest possible, not near enough:");
    } else {
        char why[200];
        sizing_words_short_of(&report->units, given, &reached, why, sizeof why);
        add(out, size, "the closest possible are still out of range (%s):", why);
    }
    for (unsigned i = 0; i < given->slides; i++) {
        char one[160];
        sizing_words_slide(report, i, one, sizeof one);
        add(out, size, "%s %s", i > 0 ? "," : "", one);
    }
    if (is_swing) {
        double off_m = hypot(answer->sx_kg_m, answer->sy_kg_m) / given->chain.balance.mass_kg;
        add(out, size, ": centre of gravity %s off the pivot", length(report, off_m).text);
    } else {
        add(out, size, ": toe reaction %s, balance angle %.0f deg",
            shown_in(&report->units, UNITS_FORCE, reached.toe_reaction_n).text,
            reached.angle_rad * 180 / NUMBER_PI);
    }
}

static void add_counterweight(const struct sizing_report *report, char *out, size_t size) {
    struct units_unit unit = units_unit(&report->units, UNITS_MASS);
    add(out, size, "counterweight %.2f to %.2f %s (now %.2f)",
        report->weights.counterweight_least_kg * unit.per_si,
        report->weights.counterweight_most_kg * unit.per_si, unit.name,
        report->given->counterweight_kg * unit.per_si);
}

void sizing_words_weights(const struct sizing_report *report, char *out, size_t size) {
    const struct weights *weights = &report->weights;
    out[0] = '\0';
    bool is_swing = report->given->chain.lift.kind == LIFT_SWING;
    if (weights->by == WEIGHTS_SLIDES && is_swing &&
        report->sizing.swing.offset_m <= report->sizing.swing.held_m / VERDICT_TIPPING_LEAST) {
        say(out, size, "good as they are");
        return;
    }
    if (weights->by != WEIGHTS_NONE && !is_swing && is_seat_good(report)) {
        if (is_leaf_angle_good(report->given)) {
            say(out, size, "good as they are");
            return;
        }
        say(out, size, "the seat's load is as wanted, but ");
        add_angle(report->given, balance_resultant(&report->given->chain.balance).angle_rad, out,
                  size);
        if (weights->by != WEIGHTS_POCKETS && weights->by != WEIGHTS_SLIDES) {
            return;
        }
        add(out, size, "; ");
    }
    switch (weights->by) {
    case WEIGHTS_NONE:
        break;
    case WEIGHTS_POCKETS:
        if (weights->pockets.is_reached) {
            add(out, size, "nearest better:");
        } else {
            char why[200];
            sizing_words_short_of(&report->units, report->given, &weights->pockets, why,
                                  sizeof why);
            add(out, size, "the closest possible are still out of range (%s):", why);
        }
        blocks(report, out, size);
        if (weights->counterweight_most_kg > 0) {
            add(out, size, "; or ");
            add_counterweight(report, out, size);
            add(out, size, ", blocks as they are");
        }
        break;
    case WEIGHTS_SLIDES:
        slides(report, out, size);
        if (weights->counterweight_most_kg > 0) {
            add(out, size, "; or ");
            add_counterweight(report, out, size);
            add(out, size, ", slides as they are");
        }
        break;
    case WEIGHTS_COUNTERWEIGHT:
        add(out, size, "nearest better: ");
        add_counterweight(report, out, size);
        break;
    }
}

const char *sizing_words_caution(size_t index) {
    static const char *const lines[] = {
        "CAUTION: a moving span and its counterweight crush fingers. Calculated verdicts are no",
        "proof: measure on the layout. A worm that locks on paper is not a brake: vibration may "
        "let",
        "it creep. Hard-wired emergency stop, current limit and guards come first, and your local",
        "electrical code. This software is not a safety device.", NULL};
    return index < sizeof lines / sizeof lines[0] ? lines[index] : NULL;
}

#include "plots/finding_words.h"

#include "mechanics/number.h"
#include "plots/sizing_words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *key;
    const char *unit;
    const char *what;
    const char *needs;
} rows[FINDING_ABOUTS] = {
#define X(id, topic, key_, unit_, what_, needs_) [FINDING_##id] = {key_, unit_, what_, needs_},
    FINDING_LIST(X)
#undef X
};

static const struct {
    const char *key;
    const char *title;
} topics[FINDING_TOPICS] = {
#define X(id, key_, title_) [FINDING_TOPIC_##id] = {key_, title_},
    FINDING_TOPIC_LIST(X)
#undef X
};

/* What is shown in the units of the configuration. The first row of a unit whose size the value
 * reaches is taken, here and below. */
static const struct {
    const char *unit;
    double least;
    enum units_shown shown;
} in_units[] = {
    {"m", 0.9995, UNITS_DISTANCE}, {"m", 0, UNITS_LENGTH}, {"N", 0, UNITS_FORCE},
    {"N m", 0, UNITS_MOMENT},      {"kg", 0, UNITS_MASS},  {"m/s", 0, UNITS_SPEED},
    {"Pa", 0, UNITS_STRESS},
};

/* How people read the others. */
static const struct {
    const char *unit;
    double least;
    double factor;
    const char *shown;
} scales[] = {
    {"%", 0, 100, "%"},
    {"rad", 0, 180 / NUMBER_PI, "deg"},
    {"J", 999.5, 1e-3, "kJ"},
    {"N", 9999.5, 1e-3, "kN"},
};

struct shown {
    char text[48];
};

static struct shown write_in(double value, const char *unit) {
    struct shown shown;
    snprintf(shown.text, sizeof shown.text, fabs(value) < 999.5 ? "%.3g%s%s" : "%.0f%s%s", value,
             unit[0] != '\0' ? " " : "", unit);
    return shown;
}

/* A force by an area. */
static struct shown stiffness(const struct units *units, double n_m2) {
    struct units_unit force = units_unit(units, UNITS_FORCE);
    struct units_unit length = units_unit(units, UNITS_DISTANCE);
    char unit[16];
    snprintf(unit, sizeof unit, "%s %s2", force.name, length.name);
    return write_in(n_m2 * force.per_si * length.per_si * length.per_si, unit);
}

static struct shown shown(const struct units *units, double value, const char *unit) {
    struct units_unit in = {unit, 1};
    bool is_fahrenheit = units->is_customary[QUANTITY_TEMPERATURE];
    if (is_fahrenheit && strcmp(unit, "degC") == 0) {
        return write_in(value * 1.8 + 32, "degF");
    }
    if (is_fahrenheit && strcmp(unit, "K") == 0) {
        return write_in(value * 1.8, "degF");
    }
    if (strcmp(unit, "N m2") == 0) {
        return stiffness(units, value);
    }
    for (size_t i = 0; i < sizeof in_units / sizeof in_units[0]; i++) {
        if (strcmp(in_units[i].unit, unit) == 0 && fabs(value) >= in_units[i].least) {
            in = units_unit(units, in_units[i].shown);
            break;
        }
    }
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        if (strcmp(scales[i].unit, in.name) == 0 && fabs(value) >= scales[i].least) {
            in = (struct units_unit){scales[i].shown, scales[i].factor};
            break;
        }
    }
    return write_in(value * in.per_si, in.name);
}

const char *finding_words_topic_key(enum finding_topic topic) {
    return topics[topic].key;
}

const char *finding_words_topic(enum finding_topic topic) {
    return topics[topic].title;
}

const char *finding_words_key(enum finding_about about) {
    return rows[about].key;
}

const char *finding_words_unit(enum finding_about about) {
    return rows[about].unit;
}

const char *finding_words_state(const struct finding *finding) {
    static const char *const names[] = {[VERDICT_GOOD] = "good",
                                        [VERDICT_BAD] = "bad",
                                        [VERDICT_UNKNOWN] = "unknown",
                                        [VERDICT_UNSURE] = "unsure"};
    return finding->is_judged ? names[finding->state] : "told";
}

__attribute__((format(printf, 3, 4))) static void add(char *out, size_t size, const char *format,
                                                      ...) {
    size_t used = strlen(out);
    va_list words;
    va_start(words, format);
    vsnprintf(out + used, size - used, format, words);
    va_end(words);
}

static void add_limits(const struct units *units, const struct finding *finding, char *out,
                       size_t size) {
    const char *unit = rows[finding->about].unit;
    bool has_least = isfinite(finding->least), has_most = isfinite(finding->most);
    if (has_least && has_most) {
        add(out, size, ", from %s to %s", shown(units, finding->least, unit).text,
            shown(units, finding->most, unit).text);
    } else if (has_least) {
        add(out, size, ", at least %s", shown(units, finding->least, unit).text);
    } else if (has_most) {
        add(out, size, ", at most %s", shown(units, finding->most, unit).text);
    }
}

/* As shown(), but kelvins for degrees of a thermometer. */
static struct shown difference(const struct units *units, const struct finding *finding,
                               double value) {
    const char *unit = rows[finding->about].unit;
    return shown(units, value, strcmp(unit, "degC") == 0 ? "K" : unit);
}

/* A value that is told has no margin of its own that could say how far it may be off. */
static void add_value(const struct sizing_report *report, const struct finding *finding, char *out,
                      size_t size) {
    double wider = doubt_wider(&finding->doubt);
    add(out, size, ": %s",
        isinf(finding->value)
            ? SIZING_WORDS_ENDLESS
            : shown(&report->units, finding->value, rows[finding->about].unit).text);
    if (!finding->is_judged && wider > 0) {
        add(out, size, " +- %s", difference(&report->units, finding, wider).text);
    }
}

/* What to change, by the watch that is too slow. */
static void add_stall_cure(const struct sizing_report *report, char *out, size_t size) {
    static const char *const cures[] = {
        [BUILDER_WATCH_STALL] = "shorten \"stall time\"",
        [BUILDER_WATCH_NO_MOVEMENT] = "measure the current, or shorten \"no-movement time\"",
        [BUILDER_WATCH_TRAVEL] = "measure current or position, or make the opening quicker (\"full "
                                 "speed\", \"travel limit\")",
    };
    add(out, size, "; %s, limit the supply's current, or measure the motor if it is a guess",
        cures[report->given->builder.stall_watch]);
}

void finding_words(const struct sizing_report *report, const struct finding *finding, char *out,
                   size_t size) {
    const struct units *units = &report->units;
    out[0] = '\0';
    add(out, size, "%s", rows[finding->about].what);
    if (!isnan(finding->value)) {
        add_value(report, finding, out, size);
    }
    if (!isnan(finding->at)) {
        char position[48];
        sizing_words_position(report, finding->at, position, sizeof position);
        add(out, size, " at %s", position);
    }
    if (finding->state == VERDICT_UNKNOWN) {
        char place[128];
        finding_words_place(report, finding, place, sizeof place);
        add(out, size, ", unknown without %s", place);
    } else {
        add_limits(units, finding, out, size);
    }
    if (finding->about == FINDING_STALL_WATCH_TIME && finding->state == VERDICT_BAD) {
        add_stall_cure(report, out, size);
    }
    if (finding->state == VERDICT_UNSURE) {
        double off = doubt_towards(&finding->doubt, finding->margin);
        sizing_words_unsure(
            report, &finding->doubt,
            isinf(off) ? SIZING_WORDS_ENDLESS : difference(units, finding, off).text, out, size);
    }
}

void finding_words_margin(const struct sizing_report *report, const struct finding *finding,
                          char *out, size_t size) {
    double wider = doubt_wider(&finding->doubt);
    out[0] = '\0';
    if (isfinite(finding->margin)) {
        add(out, size, "%s", difference(&report->units, finding, finding->margin).text);
    }
    if (out[0] != '\0' && wider > 0) {
        add(out, size, " +- %s", difference(&report->units, finding, wider).text);
    }
}

void finding_words_place(const struct sizing_report *report, const struct finding *finding,
                         char *out, size_t size) {
    const char *needs = finding->needs != NULL ? finding->needs : rows[finding->about].needs;
    out[0] = '\0';
    if (needs[0] != '\0') {
        snprintf(out, size, "/bridges/%u%s", report->index, needs);
    }
}

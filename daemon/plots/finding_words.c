#include "plots/finding_words.h"

#include "mechanics/number.h"

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

/* How people read a unit: the number is multiplied. The first row of a unit that is not too large
 * for the value is taken. */
static const struct {
    const char *unit;
    double least; /* shown so from this size on */
    double factor;
    const char *shown;
} scales[] = {
    {"m", 0.9995, 1, "m"},     {"m", 0, 1e3, "mm"},
    {"%", 0, 100, "%"},        {"rad", 0, 180 / NUMBER_PI, "deg"},
    {"Pa", 0, 1e-6, "MPa"},    {"J", 999.5, 1e-3, "kJ"},
    {"N", 9999.5, 1e-3, "kN"},
};

struct shown {
    char text[48];
};

static struct shown shown(double value, const char *unit) {
    struct shown shown;
    double factor = 1;
    const char *name = unit;
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        if (strcmp(scales[i].unit, unit) == 0 && fabs(value) >= scales[i].least) {
            factor = scales[i].factor;
            name = scales[i].shown;
            break;
        }
    }
    snprintf(shown.text, sizeof shown.text, fabs(value * factor) < 999.5 ? "%.3g%s%s" : "%.0f%s%s",
             value * factor, name[0] != '\0' ? " " : "", name);
    return shown;
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
    static const char *const names[] = {
        [VERDICT_GOOD] = "good", [VERDICT_BAD] = "bad", [VERDICT_UNKNOWN] = "unknown"};
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

static void add_limits(const struct finding *finding, const char *unit, char *out, size_t size) {
    bool has_least = isfinite(finding->least), has_most = isfinite(finding->most);
    if (has_least && has_most) {
        add(out, size, ", from %s to %s", shown(finding->least, unit).text,
            shown(finding->most, unit).text);
    } else if (has_least) {
        add(out, size, ", at least %s", shown(finding->least, unit).text);
    } else if (has_most) {
        add(out, size, ", at most %s", shown(finding->most, unit).text);
    }
}

void finding_words(const struct sizing_report *report, const struct finding *finding, char *out,
                   size_t size) {
    const char *unit = rows[finding->about].unit;
    out[0] = '\0';
    add(out, size, "%s", rows[finding->about].what);
    if (!isnan(finding->value)) {
        add(out, size, ": %s", shown(finding->value, unit).text);
    }
    if (!isnan(finding->at)) {
        add(out, size, " at %.0f %s", sizing_report_shown(report, finding->at),
            sizing_report_unit(report));
    }
    if (finding->state == VERDICT_UNKNOWN) {
        char place[128];
        finding_words_place(report, finding, place, sizeof place);
        add(out, size, ", not known without %s", place);
    } else {
        add_limits(finding, unit, out, size);
    }
}

void finding_words_margin(const struct finding *finding, char *out, size_t size) {
    const char *unit = rows[finding->about].unit;
    out[0] = '\0';
    if (isfinite(finding->margin)) {
        add(out, size, "%s", shown(finding->margin, strcmp(unit, "degC") == 0 ? "K" : unit).text);
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

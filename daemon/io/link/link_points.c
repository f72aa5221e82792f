#include "io/link/link_points.h"

#include <stdio.h>

static bool is_same(const struct link_value *a, const struct link_value *b) {
    return a->group == b->group && a->bus == b->bus && a->address == b->address &&
           a->port == b->port;
}

unsigned link_points_add(struct link_points *points, struct link_value at) {
    unsigned i = 0;
    while (i < points->count && !is_same(&points->point[i].at, &at)) {
        i++;
    }
    if (i == points->count) {
        points->point[points->count++] = (struct link_point){.at = at};
    }
    return i;
}

void link_points_forget(struct link_points *points) {
    for (unsigned i = 0; i < points->count; i++) {
        points->point[i] = (struct link_point){.at = points->point[i].at};
    }
}

/* ---- what a line says of which value */

enum saying { SAYS_NOTHING = 0, SAYS_VALUE, SAYS_GONE };

struct report {
    struct link_value at; /* SAYS_GONE: of any port */
    int32_t value;
    bool is_readable; /* the value is a number, or ON or OFF */
};

static bool take_unsigned(struct srcp_text *rest, unsigned *number) {
    int32_t value;
    if (!srcp_text_number(srcp_text_word(rest), &value) || value < 0) {
        return false;
    }
    *number = (unsigned)value;
    return true;
}

static bool take_group(enum srcp_group word, enum link_group *group) {
    *group = word == SRCP_GA ? LINK_GA : word == SRCP_FB ? LINK_FB : LINK_POWER;
    return word == SRCP_GA || word == SRCP_FB || word == SRCP_POWER;
}

static void take_value(struct srcp_text *rest, struct report *report) {
    struct srcp_text word = srcp_text_word(rest);
    if (report->at.group == LINK_POWER) {
        report->value = srcp_text_is(word, "ON");
        report->is_readable = report->value == 1 || srcp_text_is(word, "OFF");
    } else {
        report->is_readable = srcp_text_number(word, &report->value) && rest->length == 0;
    }
}

/* 101 sets a device up and tells no value. */
static enum saying read_report(const struct srcp_answer *answer, struct report *report) {
    struct srcp_text rest = answer->rest;
    *report = (struct report){.at.bus = answer->bus};
    if (answer->kind != SRCP_ANSWER_INFO || !answer->has_group || answer->code == 101 ||
        !take_group(answer->group, &report->at.group) ||
        (report->at.group != LINK_POWER && !take_unsigned(&rest, &report->at.address))) {
        return SAYS_NOTHING;
    }
    if (answer->code == 102) {
        return SAYS_GONE;
    }
    if (report->at.group == LINK_GA && !take_unsigned(&rest, &report->at.port)) {
        return SAYS_NOTHING;
    }
    take_value(&rest, report);
    return SAYS_VALUE;
}

/* ---- INFO */

/* A GET that said otherwise may have been ahead of this: it is asked again. */
static void tell(struct link_point *point, const struct report *report, enum saying saying) {
    point->is_told = saying == SAYS_VALUE && report->is_readable;
    point->told = report->value;
    point->must_ask = point->must_ask || point->is_doubted;
    point->is_passed = true;
}

bool link_points_told(struct link_points *points, const struct srcp_answer *answer) {
    struct report report;
    enum saying saying = read_report(answer, &report);
    bool is_ours = false;
    for (unsigned i = 0; saying != SAYS_NOTHING && i < points->count; i++) {
        struct link_point *point = &points->point[i];
        if (saying == SAYS_GONE) {
            report.at.port = point->at.port;
        }
        if (is_same(&point->at, &report.at)) {
            tell(point, &report, saying);
            is_ours = true;
        }
    }
    return is_ours;
}

/* ---- GET */

static const char *group_word(enum link_group group) {
    switch (group) {
    case LINK_GA:
        return "GA";
    case LINK_FB:
        return "FB";
    case LINK_POWER:
        break;
    }
    return "POWER";
}

void link_point_get(struct link_point *point, char line[LINK_LINE_SIZE]) {
    const struct link_value *at = &point->at;
    point->is_passed = false;
    switch (at->group) {
    case LINK_GA:
        snprintf(line, LINK_LINE_SIZE, "GET %u GA %u %u", at->bus, at->address, at->port);
        break;
    case LINK_FB:
        snprintf(line, LINK_LINE_SIZE, "GET %u FB %u", at->bus, at->address);
        break;
    case LINK_POWER:
        snprintf(line, LINK_LINE_SIZE, "GET %u POWER", at->bus);
        break;
    }
}

bool link_point_answered(struct link_point *point, const struct srcp_answer *answer) {
    struct report report;
    point->must_ask = false;
    if (answer->kind ==
        SRCP_ANSWER_ERROR) { /* 416: never set. Any other: not there, or not for us */
        point->is_doubted = true;
        return true;
    }
    if (read_report(answer, &report) != SAYS_VALUE || !is_same(&point->at, &report.at)) {
        return false;
    }
    point->is_doubted = !report.is_readable || !point->is_told || report.value != point->told;
    point->must_ask = point->is_doubted && point->is_passed;
    return true;
}

void link_value_words(struct link_value at, char words[LINK_LINE_SIZE]) {
    char port[24] = "";
    char address[16] = "";
    if (at.group != LINK_POWER) {
        snprintf(address, sizeof address, " %u", at.address);
    }
    if (at.group == LINK_GA) {
        snprintf(port, sizeof port, " port %u", at.port);
    }
    snprintf(words, LINK_LINE_SIZE, "%s%s%s on bus %u", group_word(at.group), address, port,
             at.bus);
}

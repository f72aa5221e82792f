#include "config/build/build.h"

#include <arpa/inet.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static bool starts_with(const char *text, const char *start, size_t length) {
    return strncmp(text, start, length) == 0 && (text[length] == '\0' || text[length] == '/');
}

/* There is a complaint of `where`, or of something within, already: one more would repeat it. */
static bool is_known_bad(const struct build *build, const char *where) {
    for (size_t i = 0; i < config_list_kept(&build->report->errors); i++) {
        if (starts_with(build->report->errors.complaint[i].where, where, strlen(where))) {
            return true;
        }
    }
    return false;
}

static void name_place(const struct build *build, const char *place, char *where, size_t size) {
    snprintf(where, size, "/bridges/%u%s", build->index, place);
}

/* Whether it was said: an error of a place that has one already is not. */
__attribute__((format(printf, 4, 0))) static bool say(const struct build *build,
                                                      struct config_list *list, const char *place,
                                                      const char *format, va_list words) {
    char where[sizeof((struct error *)0)->where];
    char what[sizeof((struct error *)0)->what];
    name_place(build, place, where, sizeof where);
    if (list == &build->report->errors && is_known_bad(build, where)) {
        return false;
    }
    vsnprintf(what, sizeof what, format, words);
    config_list_add(list, where, "%s", what);
    return true;
}

bool build_error(const struct build *build, const char *place, const char *format, ...) {
    va_list words;
    va_start(words, format);
    say(build, &build->report->errors, place, format, words);
    va_end(words);
    return false;
}

bool build_missing(const struct build *build, const char *place, const char *format, ...) {
    va_list words;
    va_start(words, format);
    if (say(build, &build->report->errors, place, format, words)) {
        build->report->missing++;
    }
    va_end(words);
    return false;
}

void build_misfit(const struct build *build, const char *place, const char *format, ...) {
    va_list words;
    va_start(words, format);
    if (say(build, &build->report->errors, place, format, words)) {
        build->report->misfits++;
    }
    va_end(words);
}

void build_warning(const struct build *build, const char *place, const char *format, ...) {
    va_list words;
    va_start(words, format);
    say(build, &build->report->warnings, place, format, words);
    va_end(words);
}

bool build_is_kind_known(const struct build *build) {
    return build->written->lift.kind >= 0;
}

bool build_is_hand(const struct build *build) {
    return build->written->lift.kind == WRITTEN_HAND;
}

bool build_is_vertical(const struct build *build) {
    return build->written->lift.kind == WRITTEN_VERTICAL;
}

bool build_has_errors(const struct build *build) {
    char where[32];
    name_place(build, "", where, sizeof where);
    return is_known_bad(build, where) || build->report->errors.count > CONFIG_COMPLAINTS_MAX;
}

static bool is_of_length(enum quantity quantity) {
    return quantity == QUANTITY_LENGTH || quantity == QUANTITY_SPEED ||
           quantity == QUANTITY_ACCELERATION;
}

double build_fraction(const struct build *build, const struct written_either *written,
                      const char *place, double otherwise) {
    const struct written_either *travel = &build->written->lift.travel;
    if (isnan(written->value) || !build->is_travel_known) {
        return otherwise;
    }
    if (is_of_length(written->quantity) != is_of_length(travel->quantity)) {
        build_error(build, place, "is %s, but this lift travels through %s",
                    quantity_name(written->quantity), quantity_name(travel->quantity));
        return otherwise;
    }
    return written->value / travel->value;
}

uint32_t build_us(double seconds) {
    return (uint32_t)lround(seconds * 1e6);
}

bool build_is_numeric(const char *address) {
    unsigned char bytes[sizeof(struct in6_addr)];
    return inet_pton(AF_INET, address, bytes) == 1 || inet_pton(AF_INET6, address, bytes) == 1;
}

struct place build_place(const char *format, ...) {
    struct place place;
    va_list words;
    va_start(words, format);
    vsnprintf(place.text, sizeof place.text, format, words);
    va_end(words);
    return place;
}

struct build build_bridge(const struct written_config *written, unsigned index,
                          struct config *config, struct config_report *report) {
    struct build build = {.written = &written->bridges.item[index],
                          .bridge = &config->bridge[index],
                          .net = &config->net.bridge[index],
                          .report = report,
                          .index = index};
    build_lift(&build);
    build_motion(&build);
    build_tracks(&build);
    build_net(&build);
    build_simulation(&build);
    build_core(&build);
    build_lines(&build);
    build_wired(&build);
    build_stand(&build);
    build_sound(&build);
    build_scene(&build);
    build_sizing(&build);
    build_builder(&build);
    return build;
}

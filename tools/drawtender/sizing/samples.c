#include "tools/drawtender/sizing/samples.h"

#include "mechanics/number.h"
#include "tools/drawtender/base/file_text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double rad_per_deg = NUMBER_PI / 180;

/* No run comes near these: what is beyond is a slip of the pen. */
static bool is_sensible(double position_deg, double speed_deg_s, double current_a) {
    return fabs(position_deg) <= 360 && fabs(speed_deg_s) <= 360 && fabs(current_a) <= 1000;
}

static bool add(struct samples *samples, const char *way, const double value[3], bool is_loaded,
                const char *where, struct error *error) {
    bool is_raising = strcmp(way, "up") == 0;
    if (!is_raising && strcmp(way, "down") != 0) {
        return error_set(error, where, "the direction is up or down, not \"%.20s\"", way);
    }
    if (!is_sensible(value[0], value[1], value[2])) { /* NAN too */
        return error_set(error, where, "implausible position, speed or current");
    }
    if (samples->count == SAMPLES_MAX) {
        return error_set(error, where, "more than %d samples", SAMPLES_MAX);
    }
    samples->sample[samples->count++] =
        (struct balance_sample){.position_rad = value[0] * rad_per_deg,
                                .speed_rad_s = value[1] * rad_per_deg,
                                .current_a = value[2],
                                .is_raising = is_raising,
                                .is_loaded = is_loaded};
    return true;
}

/* ---- lines */

enum { LINE_SIZE = 160 };

static bool parse_line(char line[LINE_SIZE], bool is_loaded, const char *where,
                       struct samples *samples, struct error *error) {
    char *rest = strchr(line, ',');
    double value[3];
    for (int i = 0; i < 3; i++) {
        char *end = rest;
        value[i] = rest != NULL ? strtod(rest + 1, &end) : 0;
        if (rest == NULL || end == rest + 1 || (*end != (i < 2 ? ',' : '\0'))) {
            return error_set(error, where, "wanted %s", SAMPLES_HEADING);
        }
        *rest = '\0';
        rest = end;
    }
    return add(samples, line, value, is_loaded, where, error);
}

static bool parse_lines(const char *text, bool are_loaded, struct samples *samples,
                        struct error *error) {
    bool has_heading = false;
    for (unsigned number = 1; *text != '\0'; number++) {
        char line[LINE_SIZE];
        char where[32];
        size_t length = strcspn(text, "\n");
        size_t end = length > 0 && text[length - 1] == '\r' ? length - 1 : length;
        snprintf(where, sizeof where, "line %u", number);
        if (end >= sizeof line) {
            return error_set(error, where, "too long");
        }
        memcpy(line, text, end);
        line[end] = '\0';
        text += length + (text[length] == '\n');
        bool is_heading = !has_heading && strcmp(line, SAMPLES_HEADING) == 0;
        if (!is_heading && !has_heading) {
            return error_set(error, where, "wanted the heading %s", SAMPLES_HEADING);
        }
        has_heading = true;
        if (!is_heading && line[0] != '\0' &&
            !parse_line(line, are_loaded, where, samples, error)) {
            return false;
        }
    }
    return has_heading || error_set(error, "", "empty");
}

/* ---- JSON */

static bool parse_item(const cJSON *item, bool is_loaded, const char *where,
                       struct samples *samples, struct error *error) {
    static const char *const names[] = {"position_deg", "speed_deg_s", "current_a"};
    const char *way = cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(item, "way"));
    double value[3];
    for (int i = 0; i < 3; i++) {
        const cJSON *number = cJSON_GetObjectItemCaseSensitive(item, names[i]);
        value[i] = cJSON_IsNumber(number) ? number->valuedouble : (double)NAN;
    }
    return add(samples, way != NULL ? way : "", value, is_loaded, where, error);
}

static bool parse_json(const char *text, bool are_loaded, struct samples *samples,
                       struct error *error) {
    cJSON *list = cJSON_Parse(text);
    bool is_sound = cJSON_IsArray(list) || error_set(error, "", "not a list of samples");
    unsigned number = 0;
    const cJSON *item;
    cJSON_ArrayForEach(item, list) {
        char where[32];
        snprintf(where, sizeof where, "/%u", number++);
        if (!is_sound || !parse_item(item, are_loaded, where, samples, error)) {
            is_sound = false;
            break;
        }
    }
    cJSON_Delete(list);
    return is_sound;
}

bool samples_parse(const char *text, bool are_loaded, struct samples *samples,
                   struct error *error) {
    const char *first = text + strspn(text, " \t\r\n");
    return *first == '[' ? parse_json(text, are_loaded, samples, error)
                         : parse_lines(text, are_loaded, samples, error);
}

bool samples_read(const char *path, bool are_loaded, struct samples *samples, struct error *error) {
    char *text = file_text_read(path, error);
    struct error inner;
    if (text == NULL) {
        return false;
    }
    bool is_read = samples_parse(text, are_loaded, samples, &inner);
    free(text);
    return is_read || error_set(error, path, "%.60s%s%.100s", inner.where,
                                inner.where[0] != '\0' ? ": " : "", inner.what);
}

void samples_print_heading(FILE *out) {
    fprintf(out, "%s\n", SAMPLES_HEADING);
}

void samples_print(FILE *out, const struct balance_sample *sample) {
    fprintf(out, "%s,%.3f,%.4f,%.4f\n", sample->is_raising ? "up" : "down",
            sample->position_rad / rad_per_deg, sample->speed_rad_s / rad_per_deg,
            sample->current_a);
}

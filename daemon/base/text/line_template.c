#include "base/text/line_template.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct line {
    char *bytes;
    size_t length;
    bool is_full;
};

static void append(struct line *line, const char *bytes, size_t length) {
    if (length > LINE_TEMPLATE_MOST - line->length) {
        line->is_full = true;
        return;
    }
    memcpy(line->bytes + line->length, bytes, length);
    line->length += length;
}

static unsigned checksum(const struct line *line, bool is_sum) {
    unsigned sum = 0;
    for (size_t i = 0; i < line->length; i++) {
        unsigned byte = (unsigned char)line->bytes[i];
        sum = is_sum ? (sum + byte) & 0xff : sum ^ byte;
    }
    return sum;
}

static bool fill_byte(struct line *line, const char *place) {
    char *end;
    unsigned long value = strtoul(place, &end, 16);
    if (strncmp(place, "0x", 2) != 0 || end == place + 2 || *end != '\0' || value > 0xff) {
        return false;
    }
    char byte = (char)value;
    append(line, &byte, 1);
    return true;
}

static bool fill_place(struct line *line, const char *place, const struct line_values *values) {
    char text[32] = "";
    if (strcmp(place, "effort") == 0) {
        snprintf(text, sizeof text, "%ld", values->effort);
    } else if (strcmp(place, "size") == 0) {
        snprintf(text, sizeof text, "%ld", labs(values->effort));
    } else if (strcmp(place, "direction") == 0) {
        snprintf(text, sizeof text, "%s", values->direction);
    } else if (strcmp(place, "xor") == 0 || strcmp(place, "sum") == 0) {
        snprintf(text, sizeof text, "%02X", checksum(line, place[0] == 's'));
    } else {
        return fill_byte(line, place);
    }
    append(line, text, strlen(text));
    return true;
}

size_t line_template_fill(const char *text, const struct line_values *values,
                          char bytes[LINE_TEMPLATE_MOST], struct error *error) {
    struct line line = {.bytes = bytes};
    for (const char *at = text; *at != '\0';) {
        size_t plain = strcspn(at, "{");
        append(&line, at, plain);
        at += plain;
        if (*at == '\0') {
            break;
        }
        char place[16];
        size_t length = strcspn(at, "}");
        snprintf(place, sizeof place, "%.*s", (int)length - 1, at + 1);
        if (at[length] == '\0' || length > sizeof place || !fill_place(&line, place, values)) {
            return error_set(
                error, text,
                "found the placeholder \"%.20s\", wanted {effort}, {size}, {direction}, "
                "{xor}, {sum} or a byte such as {0xAA}",
                at);
        }
        at += length + 1;
    }
    if (line.is_full || line.length == 0) {
        return error_set(error, text, line.is_full ? "becomes longer than %d bytes" : "is empty",
                         LINE_TEMPLATE_MOST);
    }
    return line.length;
}

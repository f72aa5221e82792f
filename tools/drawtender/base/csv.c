#include "tools/drawtender/base/csv.h"

#include <string.h>

struct cut {
    const char *at, *end;
    char *to;
};

static void take_quoted(struct cut *cut, bool *is_closed) {
    *is_closed = false;
    cut->at++;
    while (cut->at < cut->end && !*is_closed) {
        if (*cut->at != '"') {
            *cut->to++ = *cut->at++;
        } else if (cut->at + 1 < cut->end && cut->at[1] == '"') {
            *cut->to++ = '"';
            cut->at += 2;
        } else {
            cut->at++;
            *is_closed = true;
        }
    }
}

static void skip_blanks(struct cut *cut) {
    while (cut->at < cut->end && (*cut->at == ' ' || *cut->at == '\t')) {
        cut->at++;
    }
}

static bool take_field(struct cut *cut, struct error *error) {
    skip_blanks(cut);
    char *begin = cut->to;
    if (cut->at < cut->end && *cut->at == '"') {
        bool is_closed;
        take_quoted(cut, &is_closed);
        skip_blanks(cut);
        if (!is_closed) {
            return error_set(error, "", "an unclosed quote");
        }
        if (cut->at < cut->end && *cut->at != ',') {
            return error_set(error, "", "text after a closing quote");
        }
    } else {
        while (cut->at < cut->end && *cut->at != ',') {
            if (*cut->at == '"') {
                return error_set(error, "", "a quote in an unquoted field");
            }
            *cut->to++ = *cut->at++;
        }
        while (cut->to > begin && (cut->to[-1] == ' ' || cut->to[-1] == '\t')) {
            cut->to--;
        }
    }
    *cut->to++ = '\0';
    return true;
}

static bool take_record(struct csv *csv, const char *from, size_t length, struct error *error) {
    struct cut cut = {.at = from, .end = from + length, .to = csv->bytes};
    csv->fields = 0;
    if (length > CSV_LINE_MAX) {
        return error_set(error, "", "longer than %d characters", CSV_LINE_MAX);
    }
    for (size_t i = 0; i < length; i++) {
        if ((from[i] < ' ' && from[i] != '\t') || from[i] > '~') {
            return error_set(error, "", "contains bytes other than printable ASCII");
        }
    }
    for (;;) {
        if (csv->fields == CSV_FIELDS_MAX) {
            return error_set(error, "", "more than %d fields", CSV_FIELDS_MAX);
        }
        csv->field[csv->fields++] = cut.to;
        if (!take_field(&cut, error)) {
            return false;
        }
        if (cut.at == cut.end) {
            return true;
        }
        cut.at++; /* the comma */
    }
}

/* What spreadsheets put before UTF-8 (RFC 3629, section 6). */
static const char mark[] = "\xef\xbb\xbf";

enum csv_event csv_next(struct csv *csv, struct error *error) {
    if (csv->line == 0 && strncmp(csv->next, mark, strlen(mark)) == 0) {
        csv->next += strlen(mark);
    }
    while (*csv->next != '\0') {
        const char *from = csv->next;
        size_t length = strcspn(from, "\n");
        csv->next += length + (from[length] == '\n');
        csv->line++;
        length -= length > 0 && from[length - 1] == '\r';
        size_t blanks = strspn(from, " \t");
        if (blanks >= length || from[0] == '#') {
            continue;
        }
        return take_record(csv, from, length, error) ? CSV_RECORD : CSV_BAD;
    }
    return CSV_END;
}

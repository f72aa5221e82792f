/* Options of a command line as a table of rows. */
#include "base/text/option_table.h"

#include "base/text/near.h"
#include "base/text/wrapped.h"

#include <string.h>

enum { NAME_COLUMNS = 22 };

bool option_table_is_option(const char *argument) {
    return strncmp(argument, "--", 2) == 0 || strcmp(argument, "-h") == 0;
}

/* Returns the row of "--name" or "--name=value", or NULL; `value` is what follows '=', or NULL. */
static const struct option_row *find(const struct option_table *table, const char *argument,
                                     const char **value) {
    const char *name = strcmp(argument, "-h") == 0 ? "--help" : argument;
    size_t length = strcspn(name, "=");
    *value = name[length] == '=' ? name + length + 1 : NULL;
    for (size_t i = 0; i < table->rows; i++) {
        const char *known = table->row[i].name;
        if (strlen(known) == length && strncmp(known, name, length) == 0) {
            return &table->row[i];
        }
    }
    return NULL;
}

static bool refuse_unknown(const struct option_table *table, const char *argument,
                           struct error *error) {
    char word[64];
    snprintf(word, sizeof word, "%.*s", (int)strcspn(argument, "="), argument);
    struct near near = near_begin(word);
    for (size_t i = 0; i < table->rows; i++) {
        near_offer(&near, table->row[i].name);
    }
    if (near.best != NULL) {
        return error_set(error, "", "no option '%.40s'; did you mean '%s'?", argument, near.best);
    }
    return error_set(error, "", "no option '%.40s'", argument);
}

static bool take_value(const struct option_row *row, const char *value, void *options,
                       struct error *error) {
    if (value == NULL) {
        return error_set(error, row->name, "needs a value: %s %s", row->name, row->argument);
    }
    struct error inner;
    return row->set(options, value, &inner) || error_set(error, row->name, "%s", inner.what);
}

bool option_table_take(const struct option_table *table, const char *argument, const char *next,
                       bool *took_next, void *options, uint64_t *given, struct error *error) {
    const char *value = NULL;
    const struct option_row *row = find(table, argument, &value);
    *took_next = false;
    if (row == NULL) {
        return refuse_unknown(table, argument, error);
    }
    *given |= UINT64_C(1) << (row - table->row);
    if (row->argument != NULL) {
        *took_next = value == NULL;
        return take_value(row, *took_next ? next : value, options, error);
    }
    if (value != NULL) {
        return error_set(error, row->name, "takes no value");
    }
    *(bool *)((char *)options + row->flag) = true;
    return true;
}

void option_table_takers(const struct option_row *row, const char *const names[], char *text,
                         size_t size) {
    size_t used = 0;
    text[0] = '\0';
    for (unsigned i = 0; i < 64 && used < size; i++) {
        if ((row->commands >> i & 1) != 0) {
            used +=
                (size_t)snprintf(text + used, size - used, "%s%s", used > 0 ? ", " : "", names[i]);
        }
    }
}

void option_table_complain(const char *program, const struct error *error, FILE *err) {
    size_t length = strlen(error->what);
    bool is_question = length > 0 && error->what[length - 1] == '?';
    fprintf(err, "%s: %s%s%s", program, error->where, error->where[0] != '\0' ? ": " : "",
            error->what);
    if (!is_question) {
        fprintf(err, "; see %s --help", program);
    }
    fputc('\n', err);
}

static void print_row(const struct option_row *row, const char *const takers[], FILE *out) {
    char left[64];
    char names[256] = "";
    char text[768];
    snprintf(left, sizeof left, "  %s%s%s", row->name, row->argument != NULL ? " " : "",
             row->argument != NULL ? row->argument : "");
    if (takers != NULL) {
        option_table_takers(row, takers, names, sizeof names);
    }
    snprintf(text, sizeof text, "%s%s%s%s%s%s", names, names[0] != '\0' ? ": " : "", row->what,
             row->usual != NULL ? " (" : "", row->usual != NULL ? row->usual : "",
             row->usual != NULL ? ")" : "");
    wrapped_row(out, left, NAME_COLUMNS, text);
}

void option_table_help(const struct option_table *table, uint64_t commands,
                       const char *const takers[], FILE *out) {
    for (size_t i = 0; i < table->rows; i++) {
        const struct option_row *row = &table->row[i];
        if (commands == 0 || row->commands == 0 || (row->commands & commands) != 0) {
            print_row(row, takers, out);
        }
    }
}

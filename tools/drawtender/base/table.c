#include "tools/drawtender/base/table.h"

#include "base/text/moment.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

void table_begin(struct table *table, const char *const columns[]) {
    *table = (struct table){.columns = 0};
    while (columns[table->columns] != NULL && table->columns < TABLE_COLUMNS_MAX) {
        table->column[table->columns] = columns[table->columns];
        table->columns++;
    }
}

void table_free(struct table *table) {
    free(table->cell);
    table->cell = NULL;
}

static struct table_cell *add(struct table *table) {
    if (table->cells == table->room) {
        size_t room = table->room > 0 ? 2 * table->room : 64;
        struct table_cell *grown = realloc(table->cell, room * sizeof *grown);
        if (grown == NULL) {
            table->has_failed = true;
            return NULL;
        }
        table->cell = grown;
        table->room = room;
    }
    struct table_cell *cell = &table->cell[table->cells++];
    *cell = (struct table_cell){.is_number = false};
    return cell;
}

/* No control characters: what a record says is not trusted. */
void table_text(struct table *table, const char *text) {
    struct table_cell *cell = add(table);
    if (cell == NULL) {
        return;
    }
    snprintf(cell->text, sizeof cell->text, "%s", text);
    for (char *at = cell->text; *at != '\0'; at++) {
        *at = *at >= ' ' && *at <= '~' ? *at : '?';
    }
}

void table_whole(struct table *table, int64_t number) {
    struct table_cell *cell = add(table);
    if (cell != NULL) {
        cell->is_number = true;
        snprintf(cell->text, sizeof cell->text, "%" PRId64, number);
    }
}

void table_number(struct table *table, double number, int decimals) {
    struct table_cell *cell = add(table);
    if (cell != NULL && isfinite(number)) {
        cell->is_number = true;
        double scale = pow(10, decimals);
        bool is_zero = round(number * scale) == 0; /* it has no sign */
        snprintf(cell->text, sizeof cell->text, "%.*f", decimals, is_zero ? 0.0 : number);
    }
}

void table_time(struct table *table, uint64_t at_us) {
    char text[MOMENT_SIZE] = "";
    if (at_us != 0) {
        moment_write(at_us, text);
    }
    table_text(table, text);
}

/* --- printing */

static size_t width_of(const struct table *table, size_t column) {
    size_t width = strlen(table->column[column]);
    for (size_t i = column; i < table->cells; i += table->columns) {
        size_t length = strlen(table->cell[i].text);
        width = length > width ? length : width;
    }
    return width;
}

void table_print(const struct table *table, FILE *out) {
    size_t width[TABLE_COLUMNS_MAX];
    for (size_t c = 0; c < table->columns; c++) {
        width[c] = width_of(table, c);
        bool is_last = c + 1 == table->columns;
        fprintf(out, "%-*s%s", is_last ? 0 : (int)width[c], table->column[c],
                is_last ? "\n" : "  ");
    }
    for (size_t i = 0; i < table->cells; i++) {
        size_t c = i % table->columns;
        bool is_last = c + 1 == table->columns;
        int aligned = is_last && !table->cell[i].is_number ? 0 : (int)width[c];
        fprintf(out, "%*s%s", table->cell[i].is_number ? aligned : -aligned, table->cell[i].text,
                is_last ? "\n" : "  ");
    }
}

static void print_csv_cell(FILE *out, const char *text) {
    if (strpbrk(text, ",\"") == NULL) {
        fputs(text, out);
        return;
    }
    fputc('"', out);
    for (; *text != '\0'; text++) {
        fprintf(out, *text == '"' ? "\"%c" : "%c", *text);
    }
    fputc('"', out);
}

void table_print_csv(const struct table *table, FILE *out) {
    for (size_t c = 0; c < table->columns; c++) {
        fputs(c > 0 ? "," : "", out);
        print_csv_cell(out, table->column[c]);
    }
    fputs("\r\n", out);
    for (size_t i = 0; i < table->cells; i++) {
        fputs(i % table->columns > 0 ? "," : "", out);
        print_csv_cell(out, table->cell[i].text);
        fputs(i % table->columns == table->columns - 1 ? "\r\n" : "", out);
    }
}

/* "open after, s" -> "open_after_s" */
static void name_key(const char *column, char *key, size_t size) {
    size_t length = 0;
    for (; *column != '\0' && length + 1 < size; column++) {
        if (*column != ',') {
            key[length++] = (char)(*column == ' ' || *column == '-' ? '_' : *column);
        }
    }
    key[length] = '\0';
}

cJSON *table_json(const struct table *table) {
    cJSON *rows = cJSON_CreateArray();
    cJSON *row = NULL;
    for (size_t i = 0; i < table->cells; i++) {
        const struct table_cell *cell = &table->cell[i];
        char key[64];
        if (i % table->columns == 0) {
            row = cJSON_CreateObject();
            cJSON_AddItemToArray(rows, row);
        }
        name_key(table->column[i % table->columns], key, sizeof key);
        if (cell->is_number) {
            cJSON_AddRawToObject(row, key, cell->text);
        } else if (cell->text[0] != '\0') {
            cJSON_AddStringToObject(row, key, cell->text);
        } else {
            cJSON_AddNullToObject(row, key);
        }
    }
    return rows;
}

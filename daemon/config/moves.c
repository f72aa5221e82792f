#include "config/moves.h"

#include "config/build/build.h"
#include "config/reader/json_text.h"
#include "config/reader/pointer.h"
#include "config/tables/tables.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct moved_value {
    char where[POINTER_SIZE];
    unsigned bridge;
    enum quantity quantity;
    const struct field *field;
    double value, spread;
    double *target; /* in `written` */
};

struct config_moves {
    struct written_config written;
    struct config_report report; /* of reading alone */
    size_t count;
    struct moved_value *value;
    bool is_full; /* no memory left for all */
};

static void take(void *context, const struct field_quantity *quantity) {
    struct config_moves *moves = context;
    struct moved_value value = {.quantity = quantity->quantity,
                                .field = quantity->field,
                                .value = quantity->value,
                                .spread = quantity->spread,
                                .target = quantity->target};
    bool is_of_bridge = sscanf(quantity->where, "/bridges/%u/", &value.bridge) == 1;
    if (quantity->spread <= 0 || quantity->target == NULL || !is_of_bridge || moves->is_full) {
        return;
    }
    struct moved_value *longer = realloc(moves->value, (moves->count + 1) * sizeof moves->value[0]);
    moves->is_full = longer == NULL;
    if (longer != NULL) {
        snprintf(value.where, sizeof value.where, "%s", quantity->where);
        longer[moves->count++] = value;
        moves->value = longer;
    }
}

static void read_tree(struct config_moves *moves, const cJSON *tree) {
    struct pointer pointer = {.length = 0};
    fields_read(&tables_config, tree, &moves->written, &pointer, &moves->report);
    if (moves->report.errors.count == moves->report.missing) {
        fields_each_quantity(&tables_config, tree, &moves->written, take, moves);
    }
}

struct config_moves *config_moves_begin(const char *text, size_t length) {
    struct error error;
    struct config_moves *moves = calloc(1, sizeof *moves);
    cJSON *tree = moves != NULL ? json_text_parse(text, length, &error) : NULL;
    if (tree != NULL) {
        read_tree(moves, tree);
        cJSON_Delete(tree);
    }
    if (moves != NULL && moves->is_full) {
        config_moves_end(moves);
        return NULL;
    }
    return moves;
}

void config_moves_end(struct config_moves *moves) {
    if (moves != NULL) {
        free(moves->value);
        free(moves);
    }
}

size_t config_moves_count(const struct config_moves *moves) {
    return moves->count;
}

const char *config_moves_where(const struct config_moves *moves, size_t index) {
    return moves->value[index].where;
}

unsigned config_moves_bridge(const struct config_moves *moves, size_t index) {
    return moves->value[index].bridge;
}

void config_moves_text(const struct config_moves *moves, size_t index, double times, char *text,
                       size_t size) {
    const struct moved_value *value = &moves->value[index];
    char exact[64], *unit;
    quantity_write(value->value + times * value->spread, value->quantity, exact, sizeof exact);
    double number = strtod(exact, &unit);
    snprintf(text, size, "%.6g%s", number, unit);
}

bool config_moves_read(struct config_moves *moves, size_t index, double times,
                       struct config *config, struct config_report *report) {
    const struct moved_value *value = &moves->value[index];
    struct error error;
    char text[64];
    config_moves_text(moves, index, times, text, sizeof text);
    memset(&config->bridge[value->bridge], 0, sizeof config->bridge[0]);
    memset(&config->net.bridge[value->bridge], 0, sizeof config->net.bridge[0]);
    memset(report, 0, sizeof *report);
    if (!fields_set_quantity(value->field, text, value->value + times * value->spread,
                             value->target, &error)) {
        return config_list_add(&report->errors, value->where, "%s", error.what);
    }
    build_bridge(&moves->written, value->bridge, config, report);
    *value->target = value->value;
    return report->errors.count == 0;
}

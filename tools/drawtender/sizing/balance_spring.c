/* A spring scale at the toe: no drive in between, and so nothing to see through. */
#include "config/reader/quantity.h"
#include "mechanics/balance/balance_fit.h"
#include "mechanics/number.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/balance.h"

static enum outcome print_json(const struct balance_run *run, const struct balance_fit_pair *pair,
                               const struct weights *weights) {
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "bridge", run->net->name);
    cJSON_AddNumberToObject(object, "moment_seated_n_m", pair->moment_n_m);
    cJSON_AddNumberToObject(object, "friction_n_m", pair->friction_n_m);
    cJSON_AddNumberToObject(object, "toe_reaction_n",
                            pair->moment_n_m / run->bridge->sizing.toe_x_m);
    cJSON_AddItemToObject(object, "weights", balance_json_weights(run->bridge, weights));
    json_print(run->tool->streams.out, object);
    return OUTCOME_DONE;
}

enum outcome balance_spring(struct balance_run *run, const char *up, const char *down) {
    struct tool *tool = run->tool;
    const struct sizing_given *given = &run->bridge->sizing;
    double up_n;
    double down_n;
    if (!quantity_read(up, QUANTITY_FORCE, &up_n, &tool->error) ||
        !quantity_read(down, QUANTITY_FORCE, &down_n, &tool->error)) {
        return OUTCOME_USAGE;
    }
    if (!number_is_positive(given->toe_x_m)) {
        error_set(&tool->error, "",
                  "the configuration does not say where the toe rests "
                  "(/leaf/toe)");
        return OUTCOME_CONFIGURATION;
    }
    if (up_n < down_n) {
        error_set(&tool->error, "", "going up takes less than going down: swap the two");
        return OUTCOME_USAGE;
    }
    struct balance_fit_pair pair = balance_fit_spring_scale(up_n, down_n, given->toe_x_m);
    /* The height of the centre of gravity does not show at the seat: as designed. */
    double sine = -given->chain.balance.sy_kg_m * NUMBER_GRAVITY_M_S2;
    struct weights weights = balance_weights(run->bridge, pair.moment_n_m, sine);
    tool->has_printed = true;
    if (tool->options->is_json) {
        return print_json(run, &pair, &weights);
    }
    struct units_unit moment = units_unit(&run->config.units, UNITS_MOMENT);
    struct units_unit force = units_unit(&run->config.units, UNITS_FORCE);
    double at_toe = force.per_si / given->toe_x_m;
    fprintf(tool->streams.out,
            "%s: %.2f %s on the seat (%.1f %s at the toe), friction %.2f %s (%.1f %s at the "
            "toe)\n",
            run->net->name, pair.moment_n_m * moment.per_si, moment.name, pair.moment_n_m * at_toe,
            force.name, pair.friction_n_m * moment.per_si, moment.name, pair.friction_n_m * at_toe,
            force.name);
    balance_text_weights(run, &weights);
    return OUTCOME_DONE;
}

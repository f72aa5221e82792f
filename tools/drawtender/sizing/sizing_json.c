#include "tools/drawtender/sizing/sizing_json.h"

#include "config/reader/measure.h"
#include "mechanics/number.h"
#include "plots/sizing_words.h"
#include "tools/drawtender/sizing/doubt_json.h"
#include "tools/drawtender/sizing/findings_json.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS_SIZE = 512 };

static void add_number(cJSON *object, const char *name, double value) {
    if (isfinite(value)) {
        cJSON_AddNumberToObject(object, name, value);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static void add_words(cJSON *object, const char *name, const char *words) {
    if (words != NULL && words[0] != '\0') {
        cJSON_AddStringToObject(object, name, words);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static cJSON *complaint(const char *where, const char *what) {
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "where", where);
    add_words(object, "what", what);
    add_words(object, "measure", measure_for(where));
    return object;
}

cJSON *sizing_json_complaints(const struct config_list *list) {
    cJSON *array = cJSON_CreateArray();
    for (size_t i = 0; i < config_list_kept(list); i++) {
        cJSON_AddItemToArray(array, complaint(list->complaint[i].where, list->complaint[i].what));
    }
    return array;
}

cJSON *sizing_json_caution(void) {
    char words[WORDS_SIZE] = "";
    const char *line;
    for (size_t i = 0; (line = sizing_words_caution(i)) != NULL; i++) {
        size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s%s", i > 0 ? " " : "", line);
    }
    return cJSON_CreateString(words);
}

static void add_missing(cJSON *object, const struct sizing_report *report,
                        const struct verdict *verdict) {
    cJSON *missing = cJSON_AddArrayToObject(object, "missing");
    for (unsigned i = 0; i < VERDICT_NEEDS_COUNT; i++) {
        if ((verdict->needs & 1u << i) != 0) {
            char place[128];
            sizing_words_place(report, verdict, (enum verdict_need)(1 << i), place, sizeof place);
            cJSON_AddItemToArray(missing, complaint(place, "missing"));
        }
    }
}

static cJSON *verdict_object(const struct sizing_report *report, const struct verdict *verdict) {
    char words[WORDS_SIZE];
    cJSON *object = cJSON_CreateObject();
    sizing_words_verdict(report, verdict, words, sizeof words);
    cJSON_AddStringToObject(object, "about", sizing_words_about(verdict->about));
    cJSON_AddStringToObject(object, "state", sizing_words_state(verdict->state));
    cJSON_AddStringToObject(object, "words", words);
    add_number(object, "value", verdict->value);
    add_words(object, "unit", sizing_words_unit(verdict->about));
    add_number(object, "least", verdict->least);
    add_number(object, "most", verdict->most);
    add_number(object, "margin", verdict->margin);
    doubt_json_add(object, report, &verdict->doubt);
    add_number(object, "position", sizing_report_shown(report, verdict->at));
    add_missing(object, report, verdict);
    return object;
}

cJSON *sizing_json_slides(const struct config_bridge *bridge, const struct weights *weights) {
    cJSON *slides = cJSON_CreateArray();
    for (unsigned i = 0; i < bridge->sizing.slides; i++) {
        cJSON *slide = cJSON_CreateObject();
        cJSON_AddStringToObject(slide, "what", bridge->slide_name[i]);
        add_number(slide, "place_m", weights->slides.place_m[i]);
        add_number(slide, "now_m", bridge->sizing.slide_now_m[i]);
        add_number(slide, "least_m", weights->slide_least_m[i]);
        add_number(slide, "most_m", weights->slide_most_m[i]);
        cJSON_AddItemToArray(slides, slide);
    }
    return slides;
}

static cJSON *weights_object(const struct sizing_report *report) {
    const struct weights *weights = &report->weights;
    char words[WORDS_SIZE];
    if (weights->by == WEIGHTS_NONE) {
        return cJSON_CreateNull();
    }
    cJSON *object = cJSON_CreateObject();
    sizing_words_weights(report, words, sizeof words);
    cJSON_AddStringToObject(object, "words", words);
    if (weights->counterweight_most_kg > 0) {
        add_number(object, "counterweight_least_kg", weights->counterweight_least_kg);
        add_number(object, "counterweight_most_kg", weights->counterweight_most_kg);
    }
    if (weights->by == WEIGHTS_COUNTERWEIGHT) {
        return object;
    }
    if (weights->by == WEIGHTS_SLIDES) {
        cJSON_AddItemToObject(object, "slides", sizing_json_slides(report->bridge, weights));
        cJSON_AddBoolToObject(object, "is_reached", weights->is_slides_reached);
        return object;
    }
    cJSON *blocks = cJSON_AddArrayToObject(object, "blocks");
    for (unsigned i = 0; i < report->given->pockets; i++) {
        cJSON_AddItemToArray(blocks, cJSON_CreateNumber(weights->pockets.blocks[i]));
    }
    cJSON_AddBoolToObject(object, "is_reached", weights->pockets.is_reached);
    add_number(object, "toe_reaction_n", weights->pockets.toe_reaction_n);
    add_number(object, "balance_angle_deg", weights->pockets.angle_rad * 180 / NUMBER_PI);
    return object;
}

static cJSON *values_object(const struct sizing_report *report) {
    const struct sizing *sizing = &report->sizing;
    const struct chain *chain = &report->given->chain;
    double full_speed = report->given->law.full_frac_s * chain->lift.travel;
    cJSON *object = cJSON_CreateObject();
    add_number(object, "travel", sizing_report_shown(report, chain->lift.travel));
    add_number(object, "mass_kg", chain->balance.mass_kg);
    if (chain->balance.kind != LIFT_VERTICAL) {
        struct balance_resultant resultant = balance_resultant(&chain->balance);
        add_number(object, "inertia_kg_m2", chain->balance.inertia_kg_m2);
        cJSON_AddStringToObject(object, "inertia_about",
                                chain->balance.kind == LIFT_ROLLING ? "roll centre"
                                : chain->balance.kind == LIFT_SWING ? "pivot"
                                                                    : "trunnion");
        add_number(object, "inertia_at_contact_kg_m2",
                   chain->balance.kind == LIFT_ROLLING ? balance_inertia(&chain->balance, 0)
                                                       : (double)NAN);
        add_number(object, "centre_of_gravity_m", resultant.radius_m);
        add_number(object, "balance_angle_deg", resultant.angle_rad * 180 / NUMBER_PI);
    }
    add_number(object, "seat_n", sizing->seat_n);
    if (chain->lift.kind == LIFT_SWING) {
        add_number(object, "tipping_n_m", sizing->swing.tipping_n_m);
        add_number(object, "balance_wheel_n", sizing->swing.wheel_n);
        add_number(object, "heel_n", sizing->swing.heel_n);
        add_number(object, "pivot_n", sizing->swing.pivot_n);
    }
    add_number(object, "gear_ratio", drive_ratio(&chain->drive));
    add_number(object, "worm_margin", sizing->worm_margin);
    add_number(object, "hold_margin", sizing->hold.margin);
    add_words(object, "held_by", sizing_words_holds(report));
    add_number(object, "driven_back_n_m", sizing->hold.torque_n_m);
    add_number(object, "motor_rest_n_m", report->given->stop.motor_n_m);
    add_number(object, "shorted_speed", sizing_report_shown(report, sizing->hold.shorted_speed));
    add_number(object, "full_speed", sizing_report_shown(report, full_speed));
    add_number(object, "motor_rad_s", sizing->motor_rad_s);
    add_number(object, "greatest_torque_n_m", sizing->demand.torque_n_m);
    add_number(object, "greatest_current_a", sizing->demand.current_a);
    add_number(object, "stall_torque_n_m", sizing->best.stall_n_m);
    add_number(object, "stall_current_a", sizing->best.stall_a);
    add_number(object, "starting_v", sizing->demand.break_v);
    return object;
}

static void add_places(cJSON *object, const char *name, const struct motion_setup *motion,
                       bool is_down) {
    cJSON *array = cJSON_AddArrayToObject(object, name);
    for (int i = 0; i < MOTION_PLACES; i++) {
        double limit_a = motion->expected_a[is_down][i] + motion->binding_a;
        cJSON_AddItemToArray(array, cJSON_CreateNumber(limit_a));
    }
}

static cJSON *watches_object(const struct sizing_report *report) {
    const struct motion_setup *motion = &report->net->setup.motion;
    cJSON *object = cJSON_CreateObject();
    add_number(object, "travel_limit_s", report->given->travel_limit_s);
    if (report->given->has_current_sensor) {
        add_number(object, "stall_a", motion->stall_a);
        add_number(object, "stall_s", motion->stall_us / 1e6);
        add_number(object, "binding_margin_a", motion->binding_a);
        add_number(object, "binding_s", motion->binding_us / 1e6);
        add_places(object, "binding_raising_a", motion, false);
        add_places(object, "binding_lowering_a", motion, true);
    }
    return object;
}

static void add_effort(cJSON *object, const char *name, const struct sizing_effort *effort) {
    cJSON *inner = cJSON_AddObjectToObject(object, name);
    add_number(inner, "torque_n_m", effort->torque_n_m);
    add_number(inner, "current_a", effort->current_a);
    add_number(inner, "voltage_v", effort->voltage_v);
}

static cJSON *position_object(const struct sizing_report *report,
                              const struct sizing_point *point) {
    bool is_vertical = report->given->chain.lift.kind == LIFT_VERTICAL;
    cJSON *object = cJSON_CreateObject();
    add_number(object, "position", sizing_report_shown(report, point->position));
    add_number(object, "rack_travel_m", point->rack_travel_m);
    add_number(object, "arm", point->arm);
    add_number(object, is_vertical ? "imbalance_n" : "imbalance_n_m", point->moment);
    add_number(object, "highest_m", point->highest_m);
    add_number(object, "lowest_m", point->lowest_m);
    add_number(object, "rearmost_m", point->rearmost_m);
    add_effort(object, "raising", &point->up);
    add_effort(object, "lowering", &point->down);
    return object;
}

static void add_travel(cJSON *object, const char *name, const struct sizing_report *report,
                       const struct travel *travel) {
    double whole = report->given->chain.lift.travel;
    cJSON *inner = cJSON_AddObjectToObject(object, name);
    add_number(inner, "duration_s", travel->duration_s);
    add_number(inner, "creep_s", travel->creep_s);
    cJSON *moments = cJSON_AddArrayToObject(inner, "moments");
    for (int i = 0; i < TRAVEL_MOMENTS; i++) {
        const struct travel_moment *moment = &travel->moment[i];
        cJSON *row = cJSON_CreateObject();
        add_number(row, "time_s", moment->time_s);
        add_number(row, "position", sizing_report_shown(report, moment->position_frac * whole));
        add_number(row, "speed", sizing_report_shown(report, moment->speed_frac_s * whole));
        cJSON_AddItemToArray(moments, row);
    }
}

cJSON *sizing_json_bridge(const struct sizing_report *report) {
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "name", report->net->name);
    cJSON_AddStringToObject(object, "kind", sizing_words_kind(report));
    cJSON_AddBoolToObject(object, "is_good",
                          verdicts_are_good(&report->verdicts) &&
                              findings_bad(&report->findings) == 0);
    cJSON_AddStringToObject(object, "position_unit", sizing_report_unit(report));
    cJSON *verdicts = cJSON_AddArrayToObject(object, "verdicts");
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        cJSON_AddItemToArray(verdicts, verdict_object(report, &report->verdicts.verdict[i]));
    }
    cJSON_AddItemToObject(object, "impossible", doubt_json_refusals(report));
    cJSON_AddItemToObject(object, "weights", weights_object(report));
    if (sizing_report_has_chain(report)) {
        cJSON_AddItemToObject(object, "values", values_object(report));
        cJSON_AddItemToObject(object, "watches", watches_object(report));
        cJSON_AddItemToObject(object, "findings", findings_json(report));
        cJSON *positions = cJSON_AddArrayToObject(object, "positions");
        for (unsigned i = 0; i < report->positions; i++) {
            cJSON_AddItemToArray(positions, position_object(report, &report->position[i]));
        }
        add_travel(object, "opening", report, &report->sizing.up);
        add_travel(object, "closing", report, &report->sizing.down);
    }
    return object;
}

/* The span: how it moves, what it weighs, what is around it. */
#include "mechanics/number.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/json_put.h"
#include "tools/drawtender/describe/worked_out.h"

#include <math.h>

/* Wanted on the seat for a mass; 5 N to 10 N for 40 kg to 50 kg (a judgement, no source). */
#define SEAT_LEAST_N_KG 0.12
#define SEAT_MOST_N_KG 0.25

static bool is_kind(const struct answers *answers, const char *kind) {
    return answers_is(answers, Q_KIND, kind);
}

static bool is_leaf(const struct answers *answers) {
    return answers_ask(answers, Q_DEPTH);
}

/* 0 where it is not asked, NAN where it is and has no answer. */
static double if_asked(const struct answers *answers, enum question_id id) {
    return answers_ask(answers, id) ? answers_number(answers, id) : 0;
}

static void put_lift(cJSON *bridge, const struct answers *answers) {
    cJSON *lift = json_put_object(bridge, "lift");
    json_put_answer(lift, "kind", answers, Q_KIND);
    json_put_answer(lift, "travel", answers, is_kind(answers, "vertical") ? Q_RISE : Q_TRAVEL);
    json_put_answer(lift, "radius", answers, Q_SECTOR_RADIUS);
    json_put_answer(lift, "radius", answers, Q_ROLLING_RADIUS);
    json_put_answer(lift, "radius", answers, Q_SWING_RADIUS);
    json_put_pair(lift, "strut pin", answers_number(answers, Q_PIN_FORWARD),
                  answers_number(answers, Q_PIN_UP));
    json_put_pair(lift, "pinion axis", -answers_number(answers, Q_PINION_BACK),
                  answers_number(answers, Q_PINION_UP));
    json_put_answer(lift, "rack", answers, Q_RACK);
    json_put_answer(lift, "drum", answers, Q_DRUM);
    json_put_count(lift, "parts", answers, Q_PARTS);
}

static void put_mass(cJSON *leaf, const struct answers *answers) {
    cJSON *mass = json_put_item(cJSON_AddArrayToObject(leaf, "masses"));
    cJSON_AddStringToObject(mass, "what", "span");
    json_put_answer(mass, "mass", answers, Q_MASS);
    double up_m = is_leaf(answers)
                      ? answers_number(answers, Q_DEPTH) / 2 - answers_number(answers, Q_AXIS_UP)
                      : 0;
    if (!is_kind(answers, "vertical")) {
        json_put_pair(mass, "at", worked_out_centre_m(answers), up_m);
        json_put_pair(mass, "size", answers_number(answers, Q_LENGTH), if_asked(answers, Q_DEPTH));
    }
}

static void put_counterweight(cJSON *leaf, const struct answers *answers) {
    double mass_kg = worked_out_counterweight_kg(answers);
    if (isnan(mass_kg)) {
        return;
    }
    cJSON *counterweight = json_put_object(leaf, "counterweight");
    if (answers_is(answers, Q_COUNTERWEIGHT, "?")) {
        json_put_value(counterweight, "mass", mass_kg, "kg");
    } else {
        json_put_answer(counterweight, "mass", answers, Q_COUNTERWEIGHT);
    }
    json_put_pair(counterweight, "at", -answers_number(answers, Q_COUNTERWEIGHT_BACK),
                  -if_asked(answers, Q_COUNTERWEIGHT_DOWN));
}

static void put_ropes(cJSON *leaf, const struct answers *answers) {
    if (!answers_ask(answers, Q_ROPES)) {
        return;
    }
    cJSON *ropes = json_put_object(leaf, "ropes");
    json_put_count(ropes, "count", answers, Q_ROPES);
    json_put_answer(ropes, "weight", answers, Q_ROPE_WEIGHT);
    json_put_answer(ropes, "span side", answers, Q_ROPE_SPAN_SIDE);
    json_put_answer(ropes, "counterweight side", answers, Q_ROPE_WEIGHT_SIDE);
}

static void put_seat(cJSON *leaf, const struct answers *answers) {
    double mass_kg = answers_number(answers, Q_MASS);
    if (!is_kind(answers, "swing") && mass_kg > 0) {
        cJSON *seat = json_put_object(leaf, "seat");
        json_put_value(seat, "least", SEAT_LEAST_N_KG * mass_kg, "N");
        json_put_value(seat, "most", SEAT_MOST_N_KG * mass_kg, "N");
    }
}

static void put_corner(cJSON *outline, const char *what, double forward_m, double up_m) {
    cJSON *corner = json_put_item(outline);
    cJSON_AddStringToObject(corner, "what", what);
    json_put_pair(corner, "at", forward_m, up_m);
}

/* A rectangle with a tail that is as deep as the span: what no tape has measured is taken as full.
 */
static void put_outline(cJSON *leaf, const struct answers *answers) {
    double length_m = answers_number(answers, Q_LENGTH);
    double under_m = -answers_number(answers, Q_AXIS_UP);
    double top_m = under_m + answers_number(answers, Q_DEPTH);
    double tail_m = answers_number(answers, Q_TAIL);
    if (isnan(tail_m + length_m + top_m)) {
        return;
    }
    cJSON *outline = cJSON_AddArrayToObject(leaf, "outline");
    put_corner(outline, "tip, top", length_m, top_m);
    put_corner(outline, "tail, top", -tail_m, top_m);
    put_corner(outline, "tail, under side", -tail_m, under_m);
    put_corner(outline, "tip, under side", length_m, under_m);
}

/* A guess may be all too much: what would hold by it alone is then not known well enough. */
static void put_friction(cJSON *leaf, const struct answers *answers) {
    const char *unit = is_kind(answers, "vertical") ? "N" : "N m";
    double friction = worked_out_friction(answers);
    if (worked_out_friction_is_guess(answers)) {
        json_put_guess(leaf, "friction", friction, unit, 100);
    } else {
        json_put_value(leaf, "friction", friction, unit);
    }
}

static void put_leaf(cJSON *bridge, const struct answers *answers) {
    cJSON *leaf = json_put_object(bridge, "leaf");
    put_mass(leaf, answers);
    put_counterweight(leaf, answers);
    put_ropes(leaf, answers);
    if (!is_kind(answers, "swing")) {
        json_put_answer(leaf, "toe", answers, Q_LENGTH);
    }
    put_seat(leaf, answers);
    put_outline(leaf, answers);
    put_friction(leaf, answers);
}

/* Heights count from the axis. */
static void put_room(cJSON *bridge, const struct answers *answers) {
    if (!answers_ask(answers, Q_FLOOR)) {
        return;
    }
    cJSON *room = json_put_object(bridge, "room");
    cJSON_AddStringToObject(room, "axis height", "0 mm");
    json_put_answer(room, "ceiling", answers, Q_CEILING);
    json_put_value(room, "floor", -answers_number(answers, Q_FLOOR), "m");
}

void bridge_text_lift(cJSON *bridge, const struct answers *answers) {
    put_lift(bridge, answers);
    if (!is_kind(answers, "hand")) {
        put_leaf(bridge, answers);
        put_room(bridge, answers);
    }
}

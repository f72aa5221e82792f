#include "panel/live/bridges_json.h"

#include "core/words/guard_words.h"
#include "panel/context.h"

#include <math.h>
#include <stdio.h>

static const char *const cautions[] = {
    "A moving span crushes fingers, and its counterweight does so out of sight. Look before you "
    "press. Keep hands, hair, sleeves and children clear.",
    "The stop buttons here travel over a network and through a browser. They do not replace a "
    "hard-wired emergency stop that cuts the motor's supply.",
    "This software is not a safety device. It can fail; the hardware around it must not rely on "
    "it.",
};

const char *bridges_json_right(enum panel_right right) {
    static const char *const names[] = {"observe", "operate"};
    return names[right];
}

static void add_number(cJSON *object, const char *name, double value) {
    if (isfinite(value)) {
        cJSON_AddNumberToObject(object, name, round(value * 1e6) / 1e6 + 0.0);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static cJSON *point_json(struct point point) {
    const double both[] = {point.x_m, point.y_m};
    return cJSON_CreateDoubleArray(both, 2);
}

/* --- the lift */

static void add_strut(cJSON *json, const struct lift *lift, bool is_strut) {
    if (!is_strut) {
        cJSON_AddNullToObject(json, "strut");
        return;
    }
    cJSON *strut = cJSON_AddObjectToObject(json, "strut");
    cJSON_AddItemToObject(strut, "pin", point_json(lift->strut.pin));
    cJSON_AddItemToObject(strut, "pinion", point_json(lift->strut.pinion));
    add_number(strut, "pinion_radius_m", lift->strut.pinion_radius_m);
}

static void add_rolling(cJSON *json, const struct lift *lift, bool is_rolling) {
    if (!is_rolling) {
        cJSON_AddNullToObject(json, "rolling");
        return;
    }
    cJSON *rolling = cJSON_AddObjectToObject(json, "rolling");
    add_number(rolling, "radius_m", lift->rolling.radius_m);
}

static void add_lift(cJSON *json, const struct config_bridge *bridge,
                     const struct net_bridge_setup *net) {
    static const char *const kinds[] = {[LIFT_SECTOR] = "sector",
                                        [LIFT_STRUT] = "strut",
                                        [LIFT_ROLLING] = "rolling",
                                        [LIFT_VERTICAL] = "vertical",
                                        [LIFT_SWING] = "swing"};
    bool has_lift = bridge->has_lift;
    const struct lift *lift = &bridge->lift;
    bool has_arc = has_lift && (lift->kind == LIFT_SECTOR || lift->kind == LIFT_SWING);
    cJSON *object = cJSON_AddObjectToObject(json, "lift");
    cJSON_AddStringToObject(object, "kind", has_lift ? kinds[lift->kind] : "hand");
    add_number(object, "travel", has_lift ? net->travel : (double)NAN);
    cJSON_AddStringToObject(object, "unit", net->travel_unit);
    add_number(object, "rack_radius_m", has_arc ? lift->rack_radius_m : (double)NAN);
    add_strut(object, lift, has_lift && lift->kind == LIFT_STRUT);
    add_rolling(object, lift, has_lift && lift->kind == LIFT_ROLLING);
}

/* --- the leaf and its room */

static void add_leaf(cJSON *json, const struct config_bridge *bridge) {
    const struct sizing_given *given = &bridge->sizing;
    if (given->outline_points == 0 && !given->has_counterweight && isnan(given->toe_x_m)) {
        cJSON_AddNullToObject(json, "leaf");
        return;
    }
    cJSON *leaf = cJSON_AddObjectToObject(json, "leaf");
    cJSON *outline = cJSON_AddArrayToObject(leaf, "outline");
    for (unsigned i = 0; i < given->outline_points; i++) {
        cJSON *corner = cJSON_CreateObject();
        cJSON_AddStringToObject(corner, "what", bridge->corner_name[i]);
        cJSON_AddItemToObject(corner, "at", point_json(given->outline[i]));
        cJSON_AddItemToArray(outline, corner);
    }
    if (given->has_counterweight) {
        cJSON *counterweight = cJSON_AddObjectToObject(leaf, "counterweight");
        cJSON_AddItemToObject(counterweight, "at", point_json(given->counterweight));
        add_number(counterweight, "mass_kg", given->counterweight_kg);
    } else {
        cJSON_AddNullToObject(leaf, "counterweight");
    }
    add_number(leaf, "toe_m", given->toe_x_m);
}

static void add_room(cJSON *json, const struct sizing_given *given) {
    cJSON *room = cJSON_AddObjectToObject(json, "room");
    bool has_room = given->has_room;
    add_number(room, "axis_height_m", has_room ? given->room.axis_height_m : (double)NAN);
    add_number(room, "ceiling_m", has_room ? given->room.ceiling_m : (double)NAN);
    add_number(room, "floor_m", has_room ? given->room.floor_m : (double)NAN);
    add_number(room, "wall_m", has_room ? -given->room.wall_x_m : (double)NAN);
}

/* --- what it has */

static void add_has(cJSON *json, const struct bridge_setup *setup, bool has_lift, bool is_node) {
    cJSON *has = cJSON_AddObjectToObject(json, "has");
    cJSON_AddBoolToObject(has, "position", setup->motion.has_position && has_lift);
    cJSON_AddBoolToObject(has, "current", setup->motion.has_current && has_lift);
    cJSON_AddBoolToObject(has, "lock", setup->has_lock);
    cJSON_AddBoolToObject(has, "lock_drive", setup->has_lock_drive);
    cJSON_AddBoolToObject(has, "lift", has_lift);
    cJSON_AddTrueToObject(has, "horn");
    cJSON_AddBoolToObject(has, "lcc", is_node);
}

/* What a hand may do, and how often the core wants to hear of it: four times as often as it must,
 * in real time. Null where there is nothing to drive. */
static void add_throttle(cJSON *json, const struct config_bridge *bridge, double pace) {
    if (!bridge->has_lift) {
        cJSON_AddNullToObject(json, "throttle");
        return;
    }
    cJSON *throttle = cJSON_AddObjectToObject(json, "throttle");
    cJSON_AddStringToObject(throttle, "sets", bridge->is_throttle_voltage ? "voltage" : "speed");
    add_number(throttle, "least", THROTTLE_SHARE_LEAST);
    add_number(throttle, "refresh_ms", fmax(1, THROTTLE_US / 4000.0 / pace));
    add_number(throttle, "supply_v", bridge->supply_v);
}

static void add_contacts(cJSON *json, const struct bridge_setup *setup) {
    const struct {
        bool is_there;
        const char *name;
    } each[] = {{true, "seated"},
                {setup->has_nearly_seated, "nearly seated"},
                {setup->has_nearly_open, "nearly open"},
                {setup->has_open, "open"},
                {setup->has_overtravel, "within travel"},
                {setup->has_stop_circuit, "stop circuit"}};
    cJSON *contacts = cJSON_AddArrayToObject(json, "contacts");
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        if (each[i].is_there) {
            cJSON_AddItemToArray(contacts, cJSON_CreateString(each[i].name));
        }
    }
    for (unsigned i = 0; i < setup->rails; i++) {
        char name[16];
        snprintf(name, sizeof name, "rail %u", i + 1);
        cJSON_AddItemToArray(contacts, cJSON_CreateString(name));
    }
}

static void add_expected(cJSON *json, const struct motion_setup *motion) {
    if (!motion->has_current || motion->binding_us == 0) {
        cJSON_AddNullToObject(json, "expected");
    } else {
        cJSON *expected = cJSON_AddObjectToObject(json, "expected");
        cJSON_AddItemToObject(expected, "up_a",
                              cJSON_CreateDoubleArray(motion->expected_a[0], MOTION_PLACES));
        cJSON_AddItemToObject(expected, "down_a",
                              cJSON_CreateDoubleArray(motion->expected_a[1], MOTION_PLACES));
        add_number(expected, "binding_a", motion->binding_a);
    }
    add_number(json, "stall_a",
               motion->has_current && motion->stall_us > 0 ? motion->stall_a : (double)NAN);
}

static cJSON *track_json(const struct net_bridge_setup *net, unsigned t) {
    const struct track_setup *setup = &net->setup.track[t];
    cJSON *track = cJSON_CreateObject();
    cJSON_AddStringToObject(track, "name", net->track_name[t]);
    cJSON_AddBoolToObject(track, "span_detector", setup->has_span_detector);
    cJSON *ends = cJSON_AddArrayToObject(track, "ends");
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        cJSON *end = setup->end[e].is_used ? cJSON_CreateObject() : cJSON_CreateNull();
        if (setup->end[e].is_used) {
            cJSON_AddStringToObject(end, "name", net->end_name[t][e]);
            cJSON_AddBoolToObject(end, "approach_detector", setup->end[e].has_approach_detector);
            cJSON_AddBoolToObject(end, "standing_detector", setup->end[e].has_standing_detector);
            cJSON_AddBoolToObject(end, "stop_detector", setup->end[e].has_stop_detector);
            cJSON_AddBoolToObject(end, "signal_proof", setup->end[e].has_signal_proof);
        }
        cJSON_AddItemToArray(ends, end);
    }
    return track;
}

/* --- what guards it: the restrictive rows */

static void add_guards(cJSON *json, const struct net_bridge_setup *net) {
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    struct guards guards;
    struct guard_words words;
    cJSON *list = cJSON_AddArrayToObject(json, "guards");
    net_name_tracks(net, tracks);
    guards_of(&net->setup, &guards);
    for (unsigned i = 0; i < guards.rows; i++) {
        const struct guard_row *row = &guards.row[i];
        if (!guard_is_restrictive(row) || !guards_describe(&guards, i, tracks, &words)) {
            continue;
        }
        cJSON *guard = cJSON_CreateObject();
        cJSON_AddStringToObject(guard, "how", guard_name(row->how));
        cJSON_AddStringToObject(guard, "invariants", words.invariants);
        cJSON_AddStringToObject(guard, "condition", words.condition);
        cJSON_AddStringToObject(guard, "rests_on", words.rests_on);
        cJSON_AddStringToObject(guard, "unseen", row->unseen);
        cJSON_AddStringToObject(guard, "better", row->add);
        cJSON_AddItemToArray(list, guard);
    }
}

/* --- all of it */

static cJSON *bridge_json(const struct config *config, unsigned i, double pace) {
    const struct net_bridge_setup *net = &config->net.bridge[i];
    const struct config_bridge *bridge = &config->bridge[i];
    cJSON *json = cJSON_CreateObject();
    cJSON_AddNumberToObject(json, "bus", net->bus);
    cJSON_AddStringToObject(json, "name", net->name);
    add_lift(json, bridge, net);
    add_leaf(json, bridge);
    add_room(json, &bridge->sizing);
    add_has(json, &net->setup, bridge->has_lift, config->lcc.bridge[i].node != 0);
    add_throttle(json, bridge, pace);
    add_contacts(json, &net->setup);
    add_expected(json, &net->setup.motion);
    cJSON *tracks = cJSON_AddArrayToObject(json, "tracks");
    for (unsigned t = 0; t < net->setup.tracks; t++) {
        cJSON_AddItemToArray(tracks, track_json(net, t));
    }
    add_guards(json, net);
    cJSON_AddBoolToObject(json, "is_recorded", config->record.file[0] != '\0');
    cJSON_AddBoolToObject(json, "has_sizing", !bridge->sizing.is_hand);
    return json;
}

cJSON *bridges_json(const struct panel_context *context, enum panel_right right) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddStringToObject(json, "version", context->host.version);
    cJSON_AddStringToObject(json, "may", bridges_json_right(right));
    cJSON_AddNumberToObject(json, "pace", context->host.pace);
    cJSON *list = cJSON_AddArrayToObject(json, "cautions");
    for (size_t i = 0; i < sizeof cautions / sizeof cautions[0]; i++) {
        cJSON_AddItemToArray(list, cJSON_CreateString(cautions[i]));
    }
    cJSON *bridges = cJSON_AddArrayToObject(json, "bridges");
    for (unsigned i = 0; i < context->config->net.bridges; i++) {
        cJSON_AddItemToArray(bridges, bridge_json(context->config, i, context->host.pace));
    }
    return json;
}

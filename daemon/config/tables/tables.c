#include "config/tables/tables.h"

#include "config/tables/stand_keys.h"
#include "config/tables/written.h"

#define LENGTH_OF(array) (sizeof(array) / sizeof((array)[0]))
#define MEMBER(type, member) (((struct type *)0)->member)

/* A row of a table; what follows `help` are further members, such as REQUIRED. */
#define FIELD(key_, kind_, type, member, help_, ...)                                               \
    {                                                                                              \
        .key = (key_), .kind = (kind_), .offset = offsetof(struct type, member), .help = (help_),  \
        __VA_ARGS__                                                                                \
    }
#define TEXT(key, type, member, help, ...)                                                         \
    FIELD(key, FIELD_TEXT, type, member, help, .size = sizeof MEMBER(type, member), __VA_ARGS__)
#define WORD(key, type, member, help, list, ...)                                                   \
    FIELD(key, FIELD_WORD, type, member, help, .words = (list), __VA_ARGS__)
#define FLAG(key, type, member, help, default_)                                                    \
    FIELD(key, FIELD_FLAG, type, member, help, .fallback = (default_))
#define COUNT(key, type, member, help, least_, most_, ...)                                         \
    FIELD(key, FIELD_COUNT, type, member, help, .least = (least_), .most = (most_), __VA_ARGS__)
#define QUANTITY(key, type, member, help, of, least_, most_, ...)                                  \
    FIELD(key, FIELD_QUANTITY, type, member, help, .quantity = (of), .least = (least_),            \
          .most = (most_), __VA_ARGS__)
#define EITHER(key, type, member, help, one, other, ...)                                           \
    FIELD(key, FIELD_EITHER, type, member, help, .quantity = (one), .or_quantity = (other),        \
          __VA_ARGS__)
#define TRAVEL(key, type, member, help, ...)                                                       \
    EITHER(key, type, member, help, QUANTITY_ANGLE, QUANTITY_LENGTH, __VA_ARGS__)
#define PLACE(key, type, member, help, ...)                                                        \
    FIELD(key, FIELD_PLACE, type, member, help, .quantity = QUANTITY_LENGTH, .least = "-20 m",     \
          .most = "20 m", __VA_ARGS__)
#define OBJECT(key, type, member, help, of, ...)                                                   \
    FIELD(key, FIELD_OBJECT, type, member, help, .object = (of), __VA_ARGS__)
#define LIST(key, type, member, help, of, least, ...)                                              \
    FIELD(key, FIELD_LIST, type, member, help, .object = (of),                                     \
          .size = sizeof MEMBER(type, member).item[0],                                             \
          .first = offsetof(struct type, member.item) - offsetof(struct type, member),             \
          .elements_least = (least), .elements_most = LENGTH_OF(MEMBER(type, member).item),        \
          __VA_ARGS__)
#define REQUIRED .is_required = true
#define DEFAULT(text) .fallback = (text)
#define OTHERWISE(words_) .fallback_in_words = (words_)
#define OBJECT_OF(name_, help_, table)                                                             \
    { .name = (name_), .help = (help_), .fields = LENGTH_OF(table), .field = (table) }

/* --- server --- */

static const char *const rights[] = {"observe", "operate", "administer", NULL};

static const struct field listener_fields[] = {
    TEXT("address", written_listener, address,
         "numeric IPv4 or IPv6 address to listen on, or the whole path of a Unix socket",
         DEFAULT("127.0.0.1")),
    COUNT("port", written_listener, port, "TCP port; a Unix socket has none", "1", "65535",
          DEFAULT("4303")),
    WORD("may", written_listener, right,
         "what its clients may do; each right includes the ones before it", rights,
         DEFAULT("operate")),
    TEXT("from", written_listener, from,
         "networks its clients may come from, separated by spaces: \"192.168.7.0/24 fd00::/8\"",
         OTHERWISE("everywhere")),
    COUNT("sessions", written_listener, sessions, "most clients at once", "1", "10000",
          OTHERWISE("the server's")),
    COUNT("arrivals", written_listener, arrivals, "most new clients in a second; more must wait",
          "1", "10000", OTHERWISE("no limit")),
    COUNT("lines", written_listener, lines,
          "most lines from one client in a second; more must wait", "1", "100000",
          OTHERWISE("no limit")),
};

const struct object tables_listener =
    OBJECT_OF("listener", "A place where clients connect; give rights only to a network you trust",
              listener_fields);

static const char *const panel_rights[] = {"observe", "operate", NULL};

static const struct field panel_fields[] = {
    TEXT("address", written_panel, address, "numeric IPv4 or IPv6 address to serve it on",
         DEFAULT("127.0.0.1")),
    COUNT("port", written_panel, port, "TCP port", "1", "65535", DEFAULT("4380")),
    WORD("may", written_panel, right, "what its users may do", panel_rights, DEFAULT("operate")),
    TEXT("token file", written_panel, token_file,
         "file with the token that browsers must enter before anything is shown; needed unless the "
         "address is this machine's own",
         OTHERWISE("no token")),
    FLAG("tls proxy", written_panel, is_behind_tls,
         "a proxy on this machine receives browsers by https and passes on what they ask; needs a "
         "token file, and an address of this machine",
         "false"),
    TEXT("names", written_panel, names,
         "names it may be called by, separated by spaces, besides addresses and \"localhost\"",
         OTHERWISE("none")),
    TEXT("from", written_panel, from,
         "networks its clients may come from, separated by spaces: \"192.168.7.0/24 fd00::/8\"",
         OTHERWISE("everywhere")),
    COUNT("clients", written_panel, clients,
          "most connections at once; for one more, the oldest without a request is closed. A "
          "quarter of them, at least one, is kept for requests, and a quarter for addresses other "
          "than the busiest; below 8 there is a warning",
          "2", "1000", DEFAULT("128")),
};

static const struct object panel = OBJECT_OF(
    "panel", "A page for the tablet beside the bridge, served by the daemon itself", panel_fields);

static const struct field server_fields[] = {
    LIST("listeners", written_server, listeners, "where clients connect", &tables_listener, 1,
         OTHERWISE("one, with all defaults")),
    LIST("panels", written_server, panels, "where a page for browsers is served", &panel, 0,
         OTHERWISE("nowhere")),
    COUNT("sessions", written_server, sessions, "most clients at once", "1", "10000",
          DEFAULT("100")),
    QUANTITY("backlog", written_server, backlog_bytes,
             "unsent data at which a slow client's session is closed", QUANTITY_MEMORY, "4 KiB",
             "16 MiB", DEFAULT("256 KiB")),
    QUANTITY("handshake", written_server, handshake_s,
             "longest time from connection to the start of the session", QUANTITY_TIME, "1 s",
             "10 min", DEFAULT("30 s")),
};

static const struct object server =
    OBJECT_OF("server", "The network side, common to all bridges", server_fields);

/* --- LCC --- */

static const char *const lcc_rights[] = {"observe", "operate", NULL};

static const struct field lcc_listener_fields[] = {
    TEXT("address", written_lcc_listener, address, "numeric IPv4 or IPv6 address to listen on",
         DEFAULT("127.0.0.1")),
    COUNT("port", written_lcc_listener, port, "TCP port", "1", "65535", DEFAULT("12021")),
    WORD("may", written_lcc_listener, right, "whether its clients' events count as requests",
         lcc_rights, DEFAULT("observe")),
    TEXT("from", written_lcc_listener, from,
         "networks its clients may come from, separated by spaces: \"192.168.7.0/24 fd00::/8\"",
         OTHERWISE("everywhere")),
    COUNT("clients", written_lcc_listener, clients, "most clients at once; more are refused", "1",
          "32", DEFAULT("8")),
};

static const struct object lcc_listener =
    OBJECT_OF("lcc listener",
              "A hub in the daemon: each frame from a client goes to all other links, and the "
              "bridges are nodes on it",
              lcc_listener_fields);

static const struct field lcc_hub_fields[] = {
    TEXT("address", written_lcc_hub, address, "numeric IPv4 or IPv6 address of the hub", REQUIRED),
    COUNT("port", written_lcc_hub, port, "TCP port", "1", "65535", DEFAULT("12021")),
    WORD("may", written_lcc_hub, right, "whether events from it count as requests", lcc_rights,
         DEFAULT("observe")),
};

static const struct object lcc_hub = OBJECT_OF(
    "lcc hub", "A hub that the daemon connects to, retrying every 1 s to 30 s", lcc_hub_fields);

static const struct field lcc_can_fields[] = {
    TEXT("interface", written_lcc_can, interface, "network interface of the bus, such as can0",
         REQUIRED),
    WORD("may", written_lcc_can, right, "whether events from it count as requests", lcc_rights,
         DEFAULT("observe")),
};

static const struct object lcc_can = OBJECT_OF(
    "lcc can", "A CAN bus of this computer, with its bit rate already set", lcc_can_fields);

static const struct field lcc_fields[] = {
    LIST("listen", written_lcc, listen, "where other nodes connect", &lcc_listener, 0,
         OTHERWISE("nowhere")),
    LIST("connect", written_lcc, connect, "hubs that the daemon connects to", &lcc_hub, 0,
         OTHERWISE("none")),
    LIST("can", written_lcc, can, "CAN buses", &lcc_can, 0, OTHERWISE("none")),
    TEXT("clock", written_lcc, clock,
         "six bytes of the clock on the bus that TIME follows; 01.01.00.00.01.00 is the default "
         "fast clock",
         OTHERWISE("none: clients set TIME")),
};

static const struct object lcc = OBJECT_OF(
    "lcc", "Links to NMRA's Layout Command Control; together they form one bus", lcc_fields);

static const struct field event_fields[] = {
    TEXT("event", written_event, event, "its name, as `drawtender events` lists it", REQUIRED),
    TEXT("id", written_event, id, "eight bytes, such as 0A.44.52.00.00.01.10.00", REQUIRED),
};

static const struct object event =
    OBJECT_OF("event", "An event with an id other than the node's own", event_fields);

static const struct field node_fields[] = {
    TEXT("node", written_node, node,
         "six bytes, such as 0A.44.52.00.00.01, that no other node on earth has; see \"A node of "
         "LCC\"",
         REQUIRED),
    FLAG("obeys the bus", written_node, obeys_bus,
         "emergency stop and emergency off of the whole bus stop this bridge, from any link",
         "true"),
    FLAG("power", written_node, power, "events can request track power", "false"),
    QUANTITY("beat", written_node, beat_s,
             "each of the \"lines\" that are events of other nodes is asked for, and an unproved "
             "command sent again, this often",
             QUANTITY_TIME, "100 ms", "1 min", DEFAULT("1 s")),
    QUANTITY("stale", written_node, stale_s,
             "such a line that nobody has confirmed for so long is not known; longer than the beat "
             "and a second",
             QUANTITY_TIME, "1200 ms", "5 min", DEFAULT("4 s")),
    QUANTITY("obey limit", written_node, obey_s,
             "longest time from a command to the proof by its node; then it is lost", QUANTITY_TIME,
             "100 ms", "30 s", DEFAULT("3 s")),
    LIST("events", written_node, events, "events with other ids", &event, 0, OTHERWISE("none")),
};

static const struct object node = OBJECT_OF("node", "A bridge as a node of LCC", node_fields);

/* --- record --- */

static const struct field record_fields[] = {
    TEXT("file", written_record, file, "path of the file; its folder must exist", REQUIRED),
    QUANTITY("keep", written_record, keep_s, "anything older is deleted", QUANTITY_TIME, "1 h",
             "36500 days", DEFAULT("90 days")),
    QUANTITY("most", written_record, most_bytes,
             "size of the file beyond which the oldest data is deleted, single steps first",
             QUANTITY_MEMORY, "1 MiB", "1000000 MiB", DEFAULT("200 MiB")),
    QUANTITY("write every", written_record, write_s,
             "how often pending data is written; faults, stops and refusals are written at once. A "
             "longer time spares a memory card, but more is lost when the daemon dies",
             QUANTITY_TIME, "100 ms", "1 h", DEFAULT("400 ms")),
    COUNT("service openings", written_record, service_openings,
          "number of openings after which the lift is due for service", "1", "1000000",
          OTHERWISE("not counted")),
    QUANTITY("service time", written_record, service_s,
             "running time after which the lift is due for service", QUANTITY_TIME, "1 min",
             "10000 h", OTHERWISE("not counted")),
};

static const struct object record =
    OBJECT_OF("record", "What happened, kept in a file for reports and replays", record_fields);

/* --- the lift and what it moves --- */

static const char *const lift_kinds[] = {"hand",     "sector", "strut", "rolling",
                                         "vertical", "swing",  NULL};

static const char *const racks[] = {"leaf", "below", "above", NULL};

static const struct field lift_fields[] = {
    WORD(
        "kind", written_lift, kind,
        "how the span is moved: by \"hand\", by a pinion on a toothed \"sector\", by an operating "
        "\"strut\", as a \"rolling\" lift, as a \"vertical\" lift on ropes, or as a \"swing\" span",
        lift_kinds, REQUIRED),
    TRAVEL("travel", written_lift, travel,
           "from seated to fully open: an angle, for a vertical lift a length", REQUIRED),
    QUANTITY("radius", written_lift, radius_m,
             "sector, swing: pitch radius of the teeth about the axis; rolling: radius of the "
             "segment",
             QUANTITY_LENGTH, "5 mm", "5 m", OTHERWISE("none; sector, rolling, swing need it")),
    PLACE("strut pin", written_lift, strut_pin_m,
          "strut: its pin on the seated leaf, from the trunnion: toward the toe, up",
          OTHERWISE("none; strut needs it")),
    PLACE("pinion axis", written_lift, pinion_axis_m,
          "strut: axis of the pinion on the tower, from the trunnion: toward the toe, up",
          OTHERWISE("none; strut needs it")),
    QUANTITY("rack offset", written_lift, rack_offset_m,
             "strut: of the rack's pitch line from the pin, to the left looking from pin to pinion",
             QUANTITY_LENGTH, "-1 m", "1 m", DEFAULT("0 m")),
    FLAG("pinion left", written_lift, is_pinion_left,
         "strut: the pinion lies to the left of its rack, looking from pin to pinion", "false"),
    WORD("rack", written_lift, rack,
         "rolling: the rack is on the \"leaf\" and the pinion stands, or the pinion rides at the "
         "roll centre on a fixed rack \"below\" or \"above\" it",
         racks, DEFAULT("leaf")),
    QUANTITY("drum", written_lift, drum_m, "vertical: pitch diameter of the rope's drum",
             QUANTITY_LENGTH, "5 mm", "2 m", OTHERWISE("none; vertical needs it")),
    COUNT("parts", written_lift, rope_parts, "vertical: parts of line that carry the span", "1",
          "16", DEFAULT("1")),
    QUANTITY("pivot bearing", written_lift, pivot_bearing_m,
             "swing: radius of the bearing that the span rests on", QUANTITY_LENGTH, "0 m", "5 m",
             OTHERWISE("5 mm, about a plain pin (a judgement, no source)")),
    QUANTITY("balance wheels", written_lift, balance_wheels_m,
             "swing: radius of the circle of wheels that keep the span from tipping",
             QUANTITY_LENGTH, "5 mm", "5 m", OTHERWISE("none")),
    COUNT("wheels", written_lift, wheels, "swing: how many of them, evenly round it", "3", "64",
          DEFAULT("4")),
    FLAG("toothed track", written_lift, is_track_toothed,
         "rolling: teeth or pins keep the segment from slipping", "false"),
    QUANTITY("track friction", written_lift, track_friction,
             "rolling: coefficient between segment and track (dry steel on steel 0.15; a handbook "
             "value, from memory)",
             QUANTITY_RATIO, "0.01", "1", DEFAULT("0.15")),
};

static const struct object lift = OBJECT_OF("lift", "How the span moves", lift_fields);

static const struct field mass_fields[] = {
    TEXT("what", written_mass, what, "what it is, for people", OTHERWISE("none")),
    QUANTITY("mass", written_mass, mass_kg, "its mass", QUANTITY_MASS, "0 kg", "1000 kg", REQUIRED),
    PLACE("at", written_mass, at_m,
          "its centre with the span seated, from the axis it turns on: toward the toe, up",
          OTHERWISE("the axis")),
    PLACE("size", written_mass, size_m,
          "its length and height, for its own moment of inertia (a rectangle's)",
          OTHERWISE("a point")),
};

static const struct object mass = OBJECT_OF("mass", "A part of the leaf", mass_fields);

static const struct field corner_fields[] = {
    TEXT("what", written_corner, what, "what it is, for people", OTHERWISE("none")),
    PLACE("at", written_corner, at_m,
          "where it is with the span seated, from the axis it turns on: toward the toe, up",
          REQUIRED),
};

static const struct object corner = OBJECT_OF(
    "corner", "A corner of all that moves, seen from the side; of a swing span from above",
    corner_fields);

static const struct field counterweight_fields[] = {
    QUANTITY("mass", written_counterweight, mass_kg, "its mass", QUANTITY_MASS, "0 kg", "1000 kg",
             REQUIRED),
    PLACE("at", written_counterweight, at_m,
          "its centre with the span seated, from the axis it turns on: toward the toe, up",
          OTHERWISE("the axis")),
    LIST("outline", written_counterweight, outline,
         "vertical: its corners with the span seated, from where the leaf's outline counts; it "
         "comes down as the span rises",
         &corner, 0, OTHERWISE("its clearances are not judged")),
};

static const struct object counterweight = OBJECT_OF(
    "counterweight",
    "What balances the leaf: on its tail, or on a frame of its own that a parallel link turns "
    "with the leaf; of a vertical lift, on the far side of the ropes",
    counterweight_fields);

static const struct field ropes_fields[] = {
    COUNT("count", written_ropes, count, "how many", "1", "32", REQUIRED),
    QUANTITY("weight", written_ropes, weight_kg_m, "mass of one for its length",
             QUANTITY_LINE_WEIGHT, "0 g/m", "10 kg/m", REQUIRED),
    QUANTITY("span side", written_ropes, span_side_m,
             "length between sheave and span with the span seated", QUANTITY_LENGTH, "0 m", "20 m",
             REQUIRED),
    QUANTITY("counterweight side", written_ropes, counterweight_side_m,
             "length between sheave and counterweight with the span seated", QUANTITY_LENGTH, "0 m",
             "20 m", REQUIRED),
    FLAG("chain", written_ropes, is_chain, "they are chains: stretch and bending do not matter",
         "false"),
    QUANTITY("diameter", written_ropes, diameter_m, "of one", QUANTITY_LENGTH, "0.05 mm", "50 mm",
             OTHERWISE("stretch and sheaves are not judged")),
    QUANTITY("breaking", written_ropes, breaking_n, "force at which one breaks, by its seller",
             QUANTITY_FORCE, "0.1 N", "1000000 N", OTHERWISE("safety is not judged")),
    QUANTITY("modulus", written_ropes, modulus_pa,
             "of elasticity, on the full circle of its diameter; the default is about a steel wire "
             "rope's (from memory), polyester cord has 3 GPa",
             QUANTITY_STRESS, "0.01 GPa", "250 GPa", DEFAULT("40 GPa")),
    QUANTITY("sheave", written_ropes, sheave_m, "diameter of the sheaves, at the rope's middle",
             QUANTITY_LENGTH, "1 mm", "2 m", OTHERWISE("sheaves are not judged")),
};

static const struct object ropes =
    OBJECT_OF("ropes", "The counterweight ropes of a vertical lift", ropes_fields);

static const struct field pocket_fields[] = {
    TEXT("what", written_pocket, what, "what it is, for people", OTHERWISE("none")),
    PLACE("at", written_pocket, at_m,
          "its centre with the span seated, from the axis it turns on: toward the toe, up",
          REQUIRED),
    QUANTITY("block", written_pocket, block_kg, "mass of one trim block", QUANTITY_MASS, "1 g",
             "100 kg", REQUIRED),
    COUNT("most", written_pocket, most, "blocks that it takes", "1", "1000", REQUIRED),
    COUNT("holds", written_pocket, holds, "blocks that are in it", "0", "1000", DEFAULT("0")),
};

static const struct object pocket =
    OBJECT_OF("pocket", "A place for trim blocks on the leaf", pocket_fields);

static const struct field slide_fields[] = {
    TEXT("what", written_slide, what, "what it is, for people", OTHERWISE("none")),
    QUANTITY("mass", written_slide, mass_kg, "its mass", QUANTITY_MASS, "1 g", "1000 kg", REQUIRED),
    PLACE(
        "from", written_slide, from_m,
        "its centre at one end of its rail or row, span seated, from the axis: toward the toe, up",
        REQUIRED),
    PLACE("to", written_slide, to_m, "the same at the other end", REQUIRED),
    QUANTITY("at", written_slide, at_m, "how far it is from the first end now", QUANTITY_LENGTH,
             "0 m", "20 m", DEFAULT("0 m")),
    QUANTITY("step", written_slide, step_m,
             "between the places of a row, the first at the first end; at most 40 of them",
             QUANTITY_LENGTH, "1 mm", "5 m", OTHERWISE("it slides along a rail")),
};

static const struct object slide = OBJECT_OF(
    "slide", "A weight on the leaf that slides along a rail or sits in one of a row of places",
    slide_fields);

static const struct field seat_fields[] = {
    QUANTITY("least", written_seat, least_n, "all its bearings together", QUANTITY_FORCE, "0 N",
             "10000 N", REQUIRED),
    QUANTITY("most", written_seat, most_n, "all its bearings together", QUANTITY_FORCE, "0 N",
             "10000 N", REQUIRED),
    QUANTITY("balance angle", written_seat, angle_rad,
             "wanted bearing of the leaf's centre of gravity from the axis, for trim blocks",
             QUANTITY_ANGLE, "-80 deg", "80 deg",
             OTHERWISE("30 deg (practice for single leaves is 20 to 50; from memory)")),
};

static const struct object seat = OBJECT_OF(
    "seat",
    "What the seat should carry at the toe with the drive slack; of a vertical lift, all "
    "seats together; of a swing span, each end. A little span-heavy is the aim (5 to 10 N for 40 "
    "to 50 kg is a "
    "judgement, no source)",
    seat_fields);

static const struct field bearings_fields[] = {
    COUNT("count", written_bearings, count, "how many carry it", "1", "16", DEFAULT("2")),
    QUANTITY("diameter", written_bearings, diameter_m, "of the shaft in them", QUANTITY_LENGTH,
             "0.5 mm", "1 m", REQUIRED),
    QUANTITY("length", written_bearings, length_m, "of one along the shaft", QUANTITY_LENGTH,
             "0.5 mm", "1 m", REQUIRED),
    QUANTITY("pressure", written_bearings, pressure_pa,
             "that they bear, load by diameter and length (slow bronze trunnions of real bridges: "
             "1500 psi; from memory)",
             QUANTITY_STRESS, "0.1 MPa", "500 MPa", DEFAULT("10 MPa")),
    QUANTITY("friction", written_bearings, friction,
             "coefficient; the default is for plain bearings, ball bearings have 0.002 (handbook "
             "values, from memory)",
             QUANTITY_RATIO, "0.0005", "0.5", DEFAULT("0.15")),
};

static const struct object bearings = OBJECT_OF(
    "bearings", "The bearings of the axis: trunnions, rollers, sheaves or pivot", bearings_fields);

static const struct field girders_fields[] = {
    QUANTITY("weight", written_girders, weight_kg,
             "measured: hung at the toe, the drive pinned and the leaf off its seat", QUANTITY_MASS,
             "1 g", "100 kg", OTHERWISE("the section is used")),
    QUANTITY("sag", written_girders, sag_m, "how far the toe sinks under it", QUANTITY_LENGTH,
             "0.01 mm", "1 m", OTHERWISE("the section is used")),
    COUNT("count", written_girders, count, "girders side by side", "1", "16", DEFAULT("2")),
    QUANTITY("width", written_girders, width_m, "of one", QUANTITY_LENGTH, "0.1 mm", "1 m",
             OTHERWISE("none; without weight and sag it is needed")),
    QUANTITY("height", written_girders, height_m, "of one", QUANTITY_LENGTH, "0.1 mm", "2 m",
             OTHERWISE("none; without weight and sag it is needed")),
    QUANTITY("wall", written_girders, wall_m, "of a tube", QUANTITY_LENGTH, "0.05 mm", "0.5 m",
             OTHERWISE("solid")),
    QUANTITY("modulus", written_girders, modulus_pa,
             "of elasticity: pine along its grain 10 GPa, aluminium 70, brass 100, steel 200 "
             "(handbook values, from memory)",
             QUANTITY_STRESS, "0.1 GPa", "400 GPa", DEFAULT("10 GPa")),
};

static const struct object girders = OBJECT_OF(
    "girders",
    "What makes the leaf stiff: a sag measured under a weight, which includes all joints, or the "
    "section of its girders",
    girders_fields);

static const struct field leaf_fields[] = {
    LIST("masses", written_leaf, masses, "the parts of the moving span", &mass, 1, REQUIRED),
    OBJECT("counterweight", written_leaf, counterweight, "what balances it", &counterweight,
           OTHERWISE("none")),
    OBJECT("ropes", written_leaf, ropes, "vertical: the counterweight ropes", &ropes,
           OTHERWISE("none")),
    QUANTITY("inertia", written_leaf, inertia_kg_m2,
             "moment of inertia of all that turns, counterweight included", QUANTITY_INERTIA,
             "0 kg m2", "10000 kg m2", OTHERWISE("calculated from the masses")),
    QUANTITY("toe", written_leaf, toe_m, "from the axis to where the toe rests on its seat",
             QUANTITY_LENGTH, "1 cm", "20 m", OTHERWISE("none")),
    QUANTITY("heel", written_leaf, heel_m,
             "swing: from the axis back to where the other end rests on its seat", QUANTITY_LENGTH,
             "1 cm", "20 m", OTHERWISE("none")),
    QUANTITY("wedge", written_leaf, wedge_n,
             "swing: what the wedges lift the lighter end with once the span is seated",
             QUANTITY_FORCE, "0 N", "10000 N", OTHERWISE("0 N")),
    OBJECT("seat", written_leaf, seat, "what the seat should carry", &seat,
           OTHERWISE("not judged")),
    LIST("outline", written_leaf, outline,
         "corners of all that moves, in order around it, counterweight included; of a vertical "
         "lift without its counterweight, which has an outline of its own",
         &corner, 0, OTHERWISE("clearances are not judged")),
    LIST("pockets", written_leaf, pockets, "places for trim blocks; not of a vertical lift",
         &pocket, 0, OTHERWISE("none")),
    LIST("slides", written_leaf, slides, "weights that can be moved; not of a vertical lift",
         &slide, 0, OTHERWISE("none")),
    EITHER("friction", written_leaf, friction,
           "of the trunnion while it turns; of a vertical lift a force", QUANTITY_TORQUE,
           QUANTITY_FORCE, OTHERWISE("0")),
    EITHER("starting friction", written_leaf, starting_friction, "the same from rest",
           QUANTITY_TORQUE, QUANTITY_FORCE, OTHERWISE("1.3 times the friction")),
    QUANTITY("push", written_leaf, push_n,
             "of a hand at the toe of the open leaf, square to it; the default is someone leaning "
             "on it for a moment (a judgement, no source)",
             QUANTITY_FORCE, "0 N", "2000 N", DEFAULT("50 N")),
    OBJECT("girders", written_leaf, girders, "what makes it stiff", &girders,
           OTHERWISE("bending is not reported")),
    QUANTITY("overhang", written_leaf, overhang_m, "of the rails beyond the toe's seat",
             QUANTITY_LENGTH, "0 mm", "1 m", DEFAULT("20 mm")),
    OBJECT("bearings", written_leaf, bearings, "what it turns in", &bearings,
           OTHERWISE("not judged")),
};

static const struct object leaf =
    OBJECT_OF("leaf", "The moving span and its balance; a powered lift needs it", leaf_fields);

static const struct field room_fields[] = {
    QUANTITY("axis height", written_room, axis_height_m,
             "of the axis (rolling: the roll centre; vertical: what the outline counts from); "
             "heights from any one level",
             QUANTITY_LENGTH, "-20 m", "20 m", REQUIRED),
    QUANTITY("ceiling", written_room, ceiling_m, "height of what is above", QUANTITY_LENGTH,
             "-20 m", "20 m", OTHERWISE("open sky")),
    QUANTITY("floor", written_room, floor_m, "height of what is below, or of the water",
             QUANTITY_LENGTH, "-20 m", "20 m", OTHERWISE("none")),
    QUANTITY("wall", written_room, wall_m, "from the axis back to what is behind", QUANTITY_LENGTH,
             "0 m", "20 m", OTHERWISE("none")),
    QUANTITY("least gap", written_room, least_gap_m,
             "wanted all round (the default is a judgement, no source)", QUANTITY_LENGTH, "0 m",
             "1 m", DEFAULT("10 mm")),
};

static const struct object room = OBJECT_OF(
    "room", "What is around the span; with the leaf's outline, clearances are judged", room_fields);

static const struct field prototype_fields[] = {
    QUANTITY("opening", written_prototype, opening_s,
             "how long its lift takes (one to two minutes is usual; from memory)", QUANTITY_TIME,
             "1 s", "1 h", DEFAULT("90 s")),
    QUANTITY("leaf", written_prototype, leaf_m, "from its axis to its toe", QUANTITY_LENGTH, "1 m",
             "500 m", OTHERWISE("not reported")),
};

static const struct object prototype = OBJECT_OF(
    "prototype", "The prototype of the model, for what would look right", prototype_fields);

static const struct field tower_fields[] = {
    QUANTITY("mass", written_tower, mass_kg, "of all that stands: tower, footing, drive",
             QUANTITY_MASS, "1 g", "10000 kg", REQUIRED),
    QUANTITY("centre", written_tower, centre_m, "of that mass, from the axis toward the toe",
             QUANTITY_LENGTH, "-20 m", "20 m", DEFAULT("0 m")),
    QUANTITY("height", written_tower, height_m, "of the axis above the base", QUANTITY_LENGTH,
             "1 mm", "20 m", REQUIRED),
    QUANTITY("front", written_tower, front_m, "edge of the base, from the axis toward the toe",
             QUANTITY_LENGTH, "-20 m", "20 m", REQUIRED),
    QUANTITY("back", written_tower, back_m,
             "the other edge, the same way: below 0 where it lies behind the axis", QUANTITY_LENGTH,
             "-20 m", "20 m", REQUIRED),
    QUANTITY("width", written_tower, width_m, "of the base, across the track", QUANTITY_LENGTH,
             "1 mm", "20 m", REQUIRED),
    COUNT("screws", written_tower, screws, "that hold the base down, half of them on either side",
          "0", "100", DEFAULT("0")),
    QUANTITY("screw pull", written_tower, screw_n,
             "that one screw holds; for your own wood, pull one out with a spring scale",
             QUANTITY_FORCE, "0 N", "100000 N", DEFAULT("0 N")),
    QUANTITY("screws at", written_tower, screws_m, "their middle, from the axis toward the toe",
             QUANTITY_LENGTH, "-20 m", "20 m", OTHERWISE("the middle of the base")),
};

static const struct object tower =
    OBJECT_OF("tower", "What stands under the axis, and may tip", tower_fields);

static const struct field pinion_fields[] = {
    COUNT("teeth", written_pinion, teeth, "how many", "6", "200", REQUIRED),
    QUANTITY("pitch", written_pinion, module_m,
             "size of the teeth: diametral pitch or module (pitch diameter by number of teeth)",
             QUANTITY_TOOTH_SIZE, "0.1 mm", "10 mm", REQUIRED),
    QUANTITY("face width", written_pinion, face_m, "length of a tooth along the shaft",
             QUANTITY_LENGTH, "0.5 mm", "200 mm", OTHERWISE("the teeth are not judged")),
    QUANTITY(
        "strength", written_pinion, strength_pa,
        "bending that its teeth bear; the default is for brass or bronze (9000 psi, of Lewis's "
        "time, from memory), mild steel bears 140 MPa, hardened alloy steel 340 MPa",
        QUANTITY_STRESS, "1 MPa", "2 GPa", DEFAULT("60 MPa")),
};

static const struct object pinion =
    OBJECT_OF("pinion", "The last gear, on the rack or sector", pinion_fields);

static const struct field gearbox_fields[] = {
    QUANTITY("ratio", written_gearbox, ratio, "turns of the motor for one turn out", QUANTITY_RATIO,
             "1", "10000", REQUIRED),
    QUANTITY("efficiency", written_gearbox, efficiency, "of all its stages together",
             QUANTITY_RATIO, "5 %", "100 %", DEFAULT("80 %")),
    QUANTITY("play", written_gearbox, play_rad,
             "of its slow shaft, the motor held (common practice, no source)", QUANTITY_ANGLE,
             "0 deg", "20 deg", DEFAULT("1 deg")),
};

static const struct object gearbox =
    OBJECT_OF("gearbox", "Spur or planetary gears on the motor", gearbox_fields);

static const struct field worm_fields[] = {
    QUANTITY("ratio", written_worm, ratio, "turns of the worm for one turn of its wheel",
             QUANTITY_RATIO, "1", "500", REQUIRED),
    QUANTITY("lead angle", written_worm, lead_angle_rad, "of the worm's thread", QUANTITY_ANGLE,
             "0.2 deg", "45 deg", REQUIRED),
    QUANTITY("pressure angle", written_worm, pressure_angle_rad, "normal pressure angle",
             QUANTITY_ANGLE, "10 deg", "30 deg", DEFAULT("20 deg")),
    QUANTITY("least friction", written_worm, friction_least,
             "lowest credible coefficient: decides whether the worm holds the span", QUANTITY_RATIO,
             "0.005", "0.5", DEFAULT("0.04")),
    QUANTITY("most friction", written_worm, friction_most,
             "highest credible coefficient: decides how much effort it takes", QUANTITY_RATIO,
             "0.005", "0.5", DEFAULT("0.08")),
    QUANTITY("play", written_worm, play_rad,
             "of its wheel, the worm held (common practice, no source)", QUANTITY_ANGLE, "0 deg",
             "20 deg", DEFAULT("0.5 deg")),
};

static const struct object worm = OBJECT_OF("worm", "A worm and its wheel", worm_fields);

static const struct field drive_fields[] = {
    OBJECT("pinion", written_drive, pinion,
           "the last gear; a vertical lift has its drum (\"lift\") instead", &pinion,
           OTHERWISE("none; every powered lift but vertical needs it")),
    OBJECT("gearbox", written_drive, planetary, "gears between motor and worm", &gearbox,
           OTHERWISE("none: 1:1 without loss")),
    OBJECT("worm", written_drive, worm, "worm after the gearbox", &worm,
           OTHERWISE("none: 1:1 without loss")),
    QUANTITY("rack efficiency", written_drive, rack_efficiency,
             "of the pinion on its rack or sector, or of the ropes", QUANTITY_RATIO, "5 %", "100 %",
             DEFAULT("95 %")),
    QUANTITY("rack play", written_drive, rack_play_m,
             "of the rack along itself, the pinion held; of a rope, its slack", QUANTITY_LENGTH,
             "0 mm", "50 mm",
             OTHERWISE("an eighth of the module (common practice, no source); a rope: none")),
};

static const struct object drive =
    OBJECT_OF("drive", "Gears from the motor to the span; a powered lift needs it", drive_fields);

static const struct field heat_fields[] = {
    QUANTITY("to case", written_heat, to_case_k_w,
             "thermal resistance from the winding to the case", QUANTITY_THERMAL_RESISTANCE,
             "0.01 K/W", "200 K/W", DEFAULT("4 K/W")),
    QUANTITY("to air", written_heat, to_air_k_w, "thermal resistance from the case to the air",
             QUANTITY_THERMAL_RESISTANCE, "0.01 K/W", "500 K/W", DEFAULT("8 K/W")),
    QUANTITY("winding time", written_heat, winding_s, "time constant of the winding", QUANTITY_TIME,
             "100 ms", "1 h", DEFAULT("30 s")),
    QUANTITY("case time", written_heat, case_s, "time constant of the case", QUANTITY_TIME, "1 s",
             "10 h", DEFAULT("15 min")),
    QUANTITY("limit", written_heat, limit_c,
             "hottest that the winding may become (class 105 of IEC 60085, the lowest usual of "
             "enamelled wire; from memory)",
             QUANTITY_TEMPERATURE, "40 degC", "300 degC", DEFAULT("105 degC")),
    QUANTITY("air", written_heat, air_c, "of the room, or of the box that the motor sits in",
             QUANTITY_TEMPERATURE, "-40 degC", "80 degC", DEFAULT("30 degC")),
};

static const struct object heat =
    OBJECT_OF("heat",
              "How the motor warms, in the terms of a maker's sheet. The defaults are about those "
              "of a closed "
              "motor of 36 mm, such as a 540 (from memory); one with holes and a fan stays cooler",
              heat_fields);

static const struct field motor_fields[] = {
    QUANTITY("voltage", written_motor, voltage_v, "at which the other values hold",
             QUANTITY_VOLTAGE, "1 V", "60 V", REQUIRED),
    QUANTITY("no-load speed", written_motor, no_load_rad_s, "turning free", QUANTITY_ROTATION,
             "10 rpm", "60000 rpm", REQUIRED),
    QUANTITY("no-load current", written_motor, no_load_a, "turning free", QUANTITY_CURRENT, "1 mA",
             "20 A", REQUIRED),
    QUANTITY("stall torque", written_motor, stall_nm, "held fast", QUANTITY_TORQUE, "0.1 mN m",
             "100 N m", REQUIRED),
    QUANTITY("stall current", written_motor, stall_a, "held fast", QUANTITY_CURRENT, "10 mA",
             "500 A", REQUIRED),
    QUANTITY("rotor inertia", written_motor, rotor_inertia_kg_m2, "of its rotor", QUANTITY_INERTIA,
             "0 kg m2", "0.01 kg m2",
             OTHERWISE("5e-6 kg m2, about a 540-size rotor (from memory)")),
    QUANTITY("brake", written_motor, brake_nm, "torque of a holding brake on its shaft",
             QUANTITY_TORQUE, "0 N m", "10 N m", DEFAULT("0 N m")),
    QUANTITY("rest torque", written_motor, rest_nm,
             "what turns its shaft by hand, unpowered: brushes and cogging. It helps to hold the "
             "span",
             QUANTITY_TORQUE, "0 N m", "10 N m",
             OTHERWISE("half of its no-load torque (a judgement, no source)")),
    OBJECT("heat", written_motor, heat, "how it warms", &heat, OTHERWISE("see there")),
};

static const struct object motor =
    OBJECT_OF("motor", "The motor's data sheet; a powered lift needs it", motor_fields);

static const struct field supply_fields[] = {
    QUANTITY("voltage", written_supply, voltage_v,
             "of the motor's supply; above 24 V there is a warning (NEM 609: safety extra-low "
             "voltage only; 24 V is the usual limit of toy transformers)",
             QUANTITY_VOLTAGE, "1 V", "60 V", REQUIRED),
    QUANTITY("current", written_supply, current_a,
             "what it can give before its own protection acts; above 10 A there is a warning "
             "(NEM 609)",
             QUANTITY_CURRENT, "10 mA", "100 A", OTHERWISE("not checked")),
    QUANTITY("lead", written_supply, lead_m, "length of the cable to the motor, one way",
             QUANTITY_LENGTH, "1 cm", "100 m", DEFAULT("3 m")),
    QUANTITY("wire", written_supply, wire_m2, "cross-section of one of its copper wires",
             QUANTITY_AREA, "0.05 mm2", "50 mm2", OTHERWISE("proposed")),
};

static const struct object supply =
    OBJECT_OF("supply", "What feeds the motor; a powered lift needs it", supply_fields);

static const struct field evening_fields[] = {
    COUNT("openings", written_evening, openings, "how many", "1", "1000", DEFAULT("12")),
    QUANTITY("every", written_evening, every_s,
             "from one to the next; if that is less than one takes, the motor has no rest",
             QUANTITY_TIME, "1 s", "24 h", DEFAULT("10 min")),
    QUANTITY("open", written_evening, open_s, "how long it stays open", QUANTITY_TIME, "0 s",
             "24 h", DEFAULT("2 min")),
};

static const struct object evening =
    OBJECT_OF("evening", "The openings of a busy session, for the motor's heat", evening_fields);

/* --- movement --- */

static const char *const throttle_sets[] = {"speed", "voltage", NULL};

static const struct field motion_fields[] = {
    EITHER("full speed", written_motion, full_speed, "fastest the span may move", QUANTITY_ROTATION,
           QUANTITY_SPEED,
           OTHERWISE("the travel in 40 s, or what the motor achieves at 90 % of the supply if that "
                     "is slower")),
    EITHER("creep speed", written_motion, creep_speed, "in the slow zones", QUANTITY_ROTATION,
           QUANTITY_SPEED,
           OTHERWISE("a quarter of full speed (common practice is about a tenth; a motor without "
                     "speed control does not turn evenly so slowly)")),
    EITHER("acceleration", written_motion, acceleration, "from rest", QUANTITY_ANGULAR_ACCELERATION,
           QUANTITY_ACCELERATION, OTHERWISE("full speed in 3 s")),
    EITHER("deceleration", written_motion, deceleration, "before a slow zone",
           QUANTITY_ANGULAR_ACCELERATION, QUANTITY_ACCELERATION, OTHERWISE("the acceleration")),
    TRAVEL("slow zone at seat", written_motion, slow_zone_seat, "creep from here to the seat",
           OTHERWISE("8 % of the travel (common practice: the last 5 to 10 degrees)")),
    TRAVEL("slow zone at open", written_motion, slow_zone_open, "creep in the last part of this",
           OTHERWISE("6 % of the travel")),
    QUANTITY("starting effort", written_motion, starting_effort,
             "least share of the supply that moves the span", QUANTITY_RATIO, "0 %", "100 %",
             OTHERWISE("calculated from motor, drive and leaf")),
    QUANTITY("full effort", written_motion, full_effort, "share of the supply at full speed",
             QUANTITY_RATIO, "1 %", "100 %", OTHERWISE("calculated from motor, drive and leaf")),
    QUANTITY("push effort", written_motion, push_effort,
             "share of the supply that pushes the span on its seat", QUANTITY_RATIO, "0 %", "50 %",
             OTHERWISE("1.5 times the starting effort, at most 50 %")),
    QUANTITY("push time", written_motion, push_s, "how long it pushes", QUANTITY_TIME, "0 s", "5 s",
             DEFAULT("500 ms")),
    TRAVEL("tolerance", written_motion, tolerance,
           "how far contacts and measured position may differ, less than half the travel",
           OTHERWISE("2 % of the travel")),
    TRAVEL("overtravel", written_motion, overtravel,
           "measured this far beyond either end is a fault", OTHERWISE("3 % of the travel")),
    TRAVEL("drift", written_motion, drift, "moved this far while at rest is a fault",
           OTHERWISE("3 % of the travel")),
    TRAVEL("no movement", written_motion, no_movement,
           "driven for the no movement time and moved by less is a fault",
           OTHERWISE("0.5 % of the travel")),
    QUANTITY("no movement time", written_motion, no_movement_s,
             "see there; also the longest time an end contact may stay made when the span leaves "
             "it",
             QUANTITY_TIME, "100 ms", "1 min",
             OTHERWISE("twice the time to creep that far, at "
                       "least 3 s")),
    QUANTITY("overspeed", written_motion, overspeed, "of full speed: above this is a fault",
             QUANTITY_RATIO, "105 %", "300 %", OTHERWISE("125 % (common practice: 110 to 125 %)")),
    QUANTITY("stall current", written_motion, stall_a,
             "at least this for the stall time is a fault", QUANTITY_CURRENT, "10 mA", "100 A",
             OTHERWISE("calculated: well above the running current, below the stalled one")),
    QUANTITY("stall time", written_motion, stall_s, "see stall current", QUANTITY_TIME, "10 ms",
             "5 s", DEFAULT("500 ms")),
    QUANTITY("binding margin", written_motion, binding_a,
             "a current this much above what the span should need at its position, for the binding "
             "time, is a fault: the lift binds. Needs a measured current",
             QUANTITY_CURRENT, "1 mA", "100 A",
             OTHERWISE("calculated: the extra that breaking loose and acceleration take, and 15 % "
                       "of the greatest")),
    QUANTITY("binding time", written_motion, binding_s, "see binding margin", QUANTITY_TIME,
             "50 ms", "10 s", DEFAULT("1 s")),
    QUANTITY("travel limit", written_motion, travel_limit_s,
             "longest time to raise or to lower, slow zones included", QUANTITY_TIME, "1 s", "1 h",
             OTHERWISE("1.5 times the expected time (common practice: 1.25 to 1.5)")),
    QUANTITY("seat limit", written_motion, seat_limit_s,
             "longest time in the slow zone before the seat", QUANTITY_TIME, "1 s", "10 min",
             OTHERWISE(
                 "twice the expected time, and 2 s; without a position sensor and a contact "
                 "that says where, "
                 "the zone begins by an estimate, perhaps early, and the default allows for that")),
    WORD("throttle sets", written_motion, throttle_sets,
         "what a hand sets that runs the span by the panel's throttle: the speed, or the voltage "
         "as at a transformer; never above these limits. A throttle on the protocol says so itself",
         throttle_sets, DEFAULT("speed")),
};

static const struct object motion =
    OBJECT_OF("motion", "How a powered span moves, and when its movement is wrong", motion_fields);

static const struct field lock_fields[] = {
    FLAG("driven", written_lock, is_driven,
         "the daemon drives the bar; otherwise a person does, and it is only proved", "false"),
    QUANTITY("limit", written_lock, limit_s,
             "longest time of its travel, either way; where a contact of the bar is missing its "
             "drive is driven for the whole of it",
             QUANTITY_TIME, "100 ms", "1 min", DEFAULT("5 s")),
};

static const struct object lock =
    OBJECT_OF("lock",
              "The bar that holds the seated span down. A span without one has neither this object "
              "nor a contact of a bar: then it counts as locked while it is seated",
              lock_fields);

static const struct field contacts_fields[] = {
    FLAG("seated", written_contacts, seated, "made while the span is seated; always needed",
         "false"),
    FLAG(
        "locked", written_contacts, locked,
        "made while the lock is driven; needed of a bar that a person works, else its drive's time "
        "stands for it",
        "false"),
    FLAG("withdrawn", written_contacts, withdrawn,
         "made while the lock is withdrawn; needed by a powered lift with a bar that a person "
         "works, "
         "else its drive's time stands for it",
         "false"),
    FLAG("open", written_contacts, open,
         "made while the span is fully open; a powered lift needs it or the position sensor",
         "false"),
    FLAG("nearly seated", written_contacts, nearly_seated, "made in the slow zone at the seat",
         "false"),
    FLAG("nearly open", written_contacts, nearly_open, "made in the slow zone at open", "false"),
    FLAG("overtravel", written_contacts, overtravel,
         "made while the span is within its travel, broken beyond", "false"),
    FLAG("stop circuit", written_contacts, stop_circuit,
         "made while the hard-wired emergency stop is not pressed", "false"),
    COUNT("rails", written_contacts, rails, "how many prove rail ends in line", "0", "4",
          DEFAULT("0")),
    QUANTITY("debounce", written_contacts, debounce_s,
             "a contact must hold this long to be believed; one that has not come to rest for 10 s "
             "reads nothing (a fault)",
             QUANTITY_TIME, "0 ms", "500 ms", DEFAULT("20 ms")),
};

static const struct object contacts = OBJECT_OF(
    "contacts",
    "Which contacts there are. A made contact is the permissive reading: a broken wire is a "
    "restriction (closed-circuit principle, 49 CFR 236.5)",
    contacts_fields);

static const struct field sensors_fields[] = {
    FLAG("position", written_sensors, position, "the span's position is measured", "false"),
    FLAG("current", written_sensors, current, "the motor's current is measured", "false"),
};

static const struct object sensors = OBJECT_OF("sensors", "What is measured", sensors_fields);

static const struct field warning_fields[] = {
    QUANTITY("least", written_warning, least_s,
             "shortest warning before the lock is withdrawn, and before the span is lowered",
             QUANTITY_TIME, "0 s", "10 min", DEFAULT("5 s")),
    QUANTITY("short blast", written_warning, short_blast_s, "33 CFR 83.32: about 1 s",
             QUANTITY_TIME, "100 ms", "3 s", DEFAULT("1 s")),
    QUANTITY("prolonged blast", written_warning, prolonged_blast_s, "33 CFR 83.32: 4 to 6 s",
             QUANTITY_TIME, "500 ms", "10 s", DEFAULT("5 s")),
    QUANTITY("gap", written_warning, gap_s, "between two blasts", QUANTITY_TIME, "100 ms", "3 s",
             DEFAULT("1 s")),
};

static const struct object warning = OBJECT_OF("warning", "Horn and warning time", warning_fields);

/* --- sound --- */

#define WORD_OF(id, word, ...) word,
static const char *const sound_kinds[] = {SOUND_KIND_LIST(WORD_OF) NULL};
#undef WORD_OF

static const char *const sound_plays[] = {"while it holds", "once", NULL};

#define CONDITION_HELP(id, word, help) "; \"" word "\": " help

static const struct field voice_fields[] = {
    WORD("sound", written_voice, kind, "what it is; without a file it is computed", sound_kinds,
         REQUIRED),
    TEXT("file", written_voice, file,
         "whole path of a WAV, FLAC or Ogg Vorbis file, of less than a minute: one blast of the "
         "horn, one stroke of the seat",
         OTHERWISE("computed")),
    TEXT("when", written_voice, when,
         "what must hold, \"not\" before a word if it must not, separated by "
         "commas" CONDITION_LIST(CONDITION_HELP),
         OTHERWISE("horn: \"horn\"; siren: \"warning\"; bell, motor, gears: \"moving\"; seating: "
                   "\"seated\"; water, gulls: \"always\"")),
    WORD("plays", written_voice, plays, "as long as that holds, or once each time that it begins",
         sound_plays, OTHERWISE("seating: once; others: while it holds")),
    FLAG("loop", written_voice, is_looped, "a file that ends begins again, as long as it holds",
         "true"),
    QUANTITY("volume", written_voice, volume, "of this sound", QUANTITY_RATIO, "0 %", "100 %",
             DEFAULT("100 %")),
    QUANTITY("pitch at rest", written_voice, rest_pitch,
             "of a lift that hardly moves, against that at full speed; 100 %: it stays the same",
             QUANTITY_RATIO, "10 %", "100 %", OTHERWISE("motor: 40 %; gears: 30 %; others: 100 %")),
    QUANTITY("fade in", written_voice, fade_in_s, "from silence to its volume", QUANTITY_TIME,
             "0 s", "10 s", OTHERWISE("by its kind, 15 ms for the horn")),
    QUANTITY("fade out", written_voice, fade_out_s, "from its volume to silence", QUANTITY_TIME,
             "0 s", "10 s", OTHERWISE("by its kind, 80 ms for the horn")),
};

#undef CONDITION_HELP

static const struct object voice = OBJECT_OF("voice", "One sound", voice_fields);

static const struct field sound_fields[] = {
    TEXT("device", written_sound, device, "PCM of ALSA: \"default\", or one of aplay -L",
         DEFAULT("default")),
    QUANTITY("volume", written_sound, volume, "of all sounds", QUANTITY_RATIO, "0 %", "100 %",
             DEFAULT("70 %")),
    TEXT("opening", written_sound, opening,
         "blasts before an opening by a local rule, P prolonged, s short, in the lengths of "
         "\"warning\"; sounds that follow \"horn\" have them instead of its output's",
         OTHERWISE("as the horn's output: \"Ps\", 33 CFR 117.15")),
    TEXT("closing", written_sound, closing, "the same before a closing",
         OTHERWISE("as the horn's output: \"sssss\", 33 CFR 117.15")),
    LIST("voices", written_sound, voices, "what is heard", &voice, 0,
         OTHERWISE("horn, motor, gears and seating")),
};

static const struct object sound = OBJECT_OF(
    "sound",
    "What is heard of the bridge through this computer's sound card, beside the horn's output or "
    "instead of it. Nothing proves that anybody hears it, and nothing waits for it",
    sound_fields);

/* --- tracks --- */

static const struct field end_fields[] = {
    TEXT("name", written_end, name, "the end, for people", REQUIRED),
    QUANTITY("approach length", written_end, approach_m,
             "of the powered track before the home signal where trains are seen coming",
             QUANTITY_LENGTH, "1 cm", "1000 m", OTHERWISE("not known")),
    QUANTITY("stop length", written_end, stop_m,
             "of the isolated rail between the home signal and the gap", QUANTITY_LENGTH, "1 cm",
             "100 m", OTHERWISE("not known")),
    QUANTITY("grade", written_end, grade,
             "of the approach and the stop section: rise over run toward the gap, below 0 where "
             "trains come downhill",
             QUANTITY_RATIO, "-10 %", "10 %", DEFAULT("0 %")),
    FLAG("approach detector", written_end, approach_detector, "sees trains on the approach",
         "false"),
    FLAG("standing detector", written_end, standing_detector,
         "reports a train standing before the home signal", "false"),
    FLAG("stop detector", written_end, stop_detector, "sees trains on the stop section", "false"),
    FLAG("signal proof", written_end, signal_proof, "an input proves the home signal at stop",
         "false"),
    FLAG("power proof", written_end, power_proof, "an input proves the stop section dead", "false"),
    FLAG("automatic", written_end, is_automatic, "the home signal clears by itself whenever it may",
         "false"),
    QUANTITY(
        "approach lock", written_end, approach_lock_s,
        "how long a signal put to stop before a train still holds the bridge, unless the "
        "train is seen to stand; at most the clearing limit",
        QUANTITY_TIME, "100 ms", "30 min",
        OTHERWISE("the worst train's time to stop, or to run the approach length at its speed if "
                  "that is longer, and 2 s; 15 s if there are no \"trains\"")),
    COUNT("signal address", written_end, signal_address, "GA address of the home signal; 0: none",
          "0", "65535", OTHERWISE("from 11, in order")),
    COUNT("approach address", written_end, approach_address,
          "FB address of the approach section; 0: none", "0", "65535",
          OTHERWISE("from 101, in order")),
    COUNT("stop address", written_end, stop_address, "FB address of the stop section; 0: none", "0",
          "65535", OTHERWISE("from 101, in order")),
};

static const struct object end =
    OBJECT_OF("end", "One end of a track, with its home signal and its stop section", end_fields);

static const struct field fastest_fields[] = {
    QUANTITY("speed", written_fastest, speed_m_s, "the fastest allowed on the approach",
             QUANTITY_SPEED, "1 mm/s", "10 m/s", REQUIRED),
    QUANTITY("braking", written_fastest, braking_m_s2, "deceleration under control",
             QUANTITY_ACCELERATION, "0.005 m/s2", "10 m/s2", REQUIRED),
    QUANTITY("coasting", written_fastest, coasting_m_s2,
             "deceleration once its power is cut; measure it", QUANTITY_ACCELERATION, "0.005 m/s2",
             "10 m/s2", REQUIRED),
    QUANTITY("reaction", written_fastest, reaction_s, "until braking begins", QUANTITY_TIME, "0 s",
             "30 s", DEFAULT("1 s")),
    QUANTITY("pickup", written_fastest, pickup_m,
             "longest length over which one vehicle, or several coupled by a cable, takes current",
             QUANTITY_LENGTH, "1 mm", "20 m", REQUIRED),
    QUANTITY("margin", written_fastest, margin_m, "between where it stops and the gap",
             QUANTITY_LENGTH, "0 m", "10 m", DEFAULT("10 cm")),
    QUANTITY("slowest", written_fastest, slowest_m_s,
             "the slowest that a train goes on its way over the bridge; measure it", QUANTITY_SPEED,
             "1 mm/s", "10 m/s", OTHERWISE("not known")),
    QUANTITY("length", written_fastest, length_m, "of the longest train, from end to end",
             QUANTITY_LENGTH, "1 cm", "200 m",
             OTHERWISE("not known; its load on the span: that of the span's rails")),
    QUANTITY("mass", written_fastest, mass_kg, "of the heaviest train", QUANTITY_MASS, "1 g",
             "1000 kg", OTHERWISE("loads on the seats are not reported")),
};

static const struct object fastest =
    OBJECT_OF("trains",
              "The worst train: stop sections must stop it, approach locking must outlast it, and "
              "what no detector sees must be left by it",
              fastest_fields);

static const char *const unwatched_words[] = {"time", "word", NULL};

static const struct field track_fields[] = {
    TEXT("name", written_track, name, "the track, for people", REQUIRED),
    LIST("ends", written_track, ends, "the ends trains come from", &end, 1, REQUIRED),
    QUANTITY("span length", written_track, span_m, "of the track on the span", QUANTITY_LENGTH,
             "1 cm", "100 m", OTHERWISE("not known")),
    FLAG("span detector", written_track, span_detector, "sees trains on the span", "false"),
    FLAG("span power proof", written_track, span_power_proof,
         "an input proves the span section dead", "false"),
    COUNT("span address", written_track, span_address, "FB address of the span section; 0: none",
          "0", "65535", OTHERWISE("from 101, in order")),
    OBJECT("trains", written_track, fastest,
           "the worst train: with it, lengths and approach locking are checked", &fastest,
           OTHERWISE("not checked")),
    WORD("unwatched", written_track, unwatched,
         "where the span section or a stop section has no detector, what stands for it before the "
         "span is opened: the \"time\" in which every train has left, or a person's \"word\" that "
         "the "
         "span is seen clear. Time does not see a train that has stopped there",
         unwatched_words, OTHERWISE("the time where it is known, else the word")),
    QUANTITY("run out", written_track, run_out_s,
             "that time: the longest that the slowest train takes, with its signals at stop, from "
             "the far end of an approach until all of it has left the span and the far stop "
             "section. It begins anew when a train leaves an approach that has a detector: the "
             "clearing limit must allow for the proof limit, this time and, with such a detector, "
             "the time from one approach's far end to the other's and the clear delay",
             QUANTITY_TIME, "1 s", "1 h",
             OTHERWISE("calculated from approach, stop and span length and from \"slowest\" and "
                       "\"length\" of the trains, and 2 s; not known if one of them is missing")),
};

static const struct object track = OBJECT_OF("track", "One track over the bridge", track_fields);

static const struct field timing_fields[] = {
    QUANTITY("clear delay", written_timing, clear_s,
             "a section must stay clear this long to be believed (49 CFR 236.309: a loss of shunt "
             "of 5 s or less must change nothing; from memory)",
             QUANTITY_TIME, "0 s", "1 min", DEFAULT("5 s")),
    QUANTITY("proof limit", written_timing, proof_limit_s,
             "longest wait for a signal, a dead section or the rails to be proved", QUANTITY_TIME,
             "100 ms", "1 min", DEFAULT("3 s")),
    QUANTITY("clearing limit", written_timing, clearing_limit_s,
             "longest wait for trains to clear; then the opening is given up", QUANTITY_TIME, "1 s",
             "1 h",
             OTHERWISE("10 min; more where a track that waits for its \"run out\" needs more")),
};

static const struct object timing = OBJECT_OF("timing", "Delays and waits", timing_fields);

static const struct field addresses_fields[] = {
#define X(id, group, address, name, help)                                                          \
    COUNT(name, written_addresses, device[NET_DEVICE_##id], help, "0", "65535", DEFAULT(#address)),
    NET_DEVICE_LIST(X)
#undef X
        COUNT("contacts", written_addresses, contacts, "first FB of the contacts' raw readings",
              "0", "60000", DEFAULT("11")),
    COUNT("proofs", written_addresses, proofs,
          "first FB of the raw readings of standing detectors and of proofs of signals and power",
          "0", "60000", DEFAULT("31")),
};

static const struct object addresses = OBJECT_OF(
    "addresses",
    "Where the bridge's devices are on its bus: generic accessories (GA) and feedback (FB); 0: "
    "not there. Signals and sections have theirs with their end or track",
    addresses_fields);

/* --- simulation --- */

static const struct field contact_places_fields[] = {
    TRAVEL("seated", written_contact_places, seated, "made from here down",
           OTHERWISE("0.2 % of the travel")),
    TRAVEL("nearly seated", written_contact_places, nearly_seated, "made from here down",
           OTHERWISE("where the slow zone begins")),
    TRAVEL("nearly open", written_contact_places, nearly_open, "made from here up",
           OTHERWISE("where the slow zone begins")),
    TRAVEL("open", written_contact_places, open, "made from here up",
           OTHERWISE("99.8 % of the travel")),
    TRAVEL("overtravel", written_contact_places, overtravel, "broken from here up",
           OTHERWISE("102 % of the travel")),
    TRAVEL("rails", written_contact_places, rails, "made from here down",
           OTHERWISE("0.2 % of the travel")),
    TRAVEL("hysteresis", written_contact_places, hysteresis, "each breaks this far from there",
           OTHERWISE("0.2 % of the travel")),
};

static const struct object contact_places =
    OBJECT_OF("contact places", "Where simulated contacts make, measured from the seat",
              contact_places_fields);

static const struct field train_fields[] = {
    TEXT("name", written_train, name, "unique", REQUIRED),
    TEXT("track", written_train, track, "name of the track it runs on",
         OTHERWISE("the bridge's first")),
    TEXT("from", written_train, from, "name of the end it comes from", REQUIRED),
    QUANTITY("length", written_train, length_m, "over its couplers", QUANTITY_LENGTH, "1 cm",
             "100 m", REQUIRED),
    QUANTITY("pickup", written_train, pickup_m,
             "of it, from the front: it has current while any of this is on live rail",
             QUANTITY_LENGTH, "1 mm", "100 m", OTHERWISE("its length")),
    QUANTITY("speed", written_train, speed_m_s, "at its throttle", QUANTITY_SPEED, "1 mm/s",
             "10 m/s", REQUIRED),
    QUANTITY("acceleration", written_train, acceleration_m_s2, "when it starts",
             QUANTITY_ACCELERATION, "0.005 m/s2", "10 m/s2", OTHERWISE("its braking")),
    QUANTITY("braking", written_train, braking_m_s2, "deceleration under control",
             QUANTITY_ACCELERATION, "0.005 m/s2", "10 m/s2", REQUIRED),
    QUANTITY("coasting", written_train, coasting_m_s2, "deceleration without current",
             QUANTITY_ACCELERATION, "0.005 m/s2", "10 m/s2",
             OTHERWISE("0.0392 m/s2: rolling alone, 0.004 of its weight")),
    QUANTITY("starts before signal", written_train, start_before_m,
             "from its front to the home signal when it enters", QUANTITY_LENGTH, "0 m", "1000 m",
             OTHERWISE("the length of the approach")),
    QUANTITY("starts after", written_train, start_s, "enters this long after the start",
             QUANTITY_TIME, "0 s", "24 h", DEFAULT("0 s")),
    QUANTITY("returns after", written_train, return_s,
             "returns this long after leaving at the far end; 0: never", QUANTITY_TIME, "0 s",
             "24 h", DEFAULT("0 s")),
    QUANTITY("set back after", written_train, set_back_s,
             "its crew moves it by hand this long after it stopped on a dead section; 0: never",
             QUANTITY_TIME, "0 s", "24 h", DEFAULT("0 s")),
    QUANTITY("set back speed", written_train, set_back_speed_m_s, "of that", QUANTITY_SPEED,
             "1 mm/s", "1 m/s", DEFAULT("0.1 m/s")),
    FLAG("ignores signals", written_train, ignores_signals, "its crew does not look", "false"),
};

static const struct object train = OBJECT_OF("train", "A simulated train", train_fields);

static const struct field fault_fields[] = {
    TEXT("fault", written_fault, words, "as in the run-time command: \"jam 0.4\"", REQUIRED),
    QUANTITY("after", written_fault, after_s, "switched on this long after the start",
             QUANTITY_TIME, "0 s", "24 h", DEFAULT("0 s")),
};

static const struct object fault = OBJECT_OF("fault", "A simulated fault", fault_fields);

static const struct field simulation_fields[] = {
    QUANTITY("start", written_simulation, start_frac, "where the span is, of its travel",
             QUANTITY_RATIO, "0 %", "100 %", DEFAULT("0 %")),
    FLAG("starts unlocked", written_simulation, starts_unlocked, "the lock is withdrawn", "false"),
    QUANTITY("lock time", written_simulation, lock_travel_s, "of the lock bar's travel",
             QUANTITY_TIME, "10 ms", "1 min", DEFAULT("1 s")),
    EITHER("hand speed", written_simulation, hand_speed, "of a span moved by hand",
           QUANTITY_ROTATION, QUANTITY_SPEED, OTHERWISE("the travel in 4 s")),
    TRAVEL("end stop", written_simulation, end_stop, "hard stop beyond open, from the seat",
           OTHERWISE("105 % of the travel")),
    TRAVEL("position noise", written_simulation, position_noise,
           "standard deviation of the measured position", OTHERWISE("none")),
    TRAVEL("position step", written_simulation, position_step,
           "smallest step of the measured position", OTHERWISE("none")),
    QUANTITY("current noise", written_simulation, current_noise_a,
             "standard deviation of the measured current", QUANTITY_CURRENT, "0 A", "10 A",
             DEFAULT("0 A")),
    QUANTITY("current step", written_simulation, current_step_a,
             "smallest step of the measured current", QUANTITY_CURRENT, "0 A", "10 A",
             DEFAULT("0 A")),
    QUANTITY("signal time", written_simulation, signal_delay_s,
             "a signal's aspect is proved this much later", QUANTITY_TIME, "1 ms", "10 s",
             DEFAULT("50 ms")),
    COUNT("seed", written_simulation, seed, "the same seed gives the same noise", "0", "65535",
          DEFAULT("1")),
    OBJECT("contact places", written_simulation, contacts, "where contacts make", &contact_places,
           OTHERWISE("see there")),
    LIST("trains", written_simulation, trains, "trains that come by themselves", &train, 0,
         OTHERWISE("none")),
    LIST("faults", written_simulation, faults, "what is wrong with the simulated world", &fault, 0,
         OTHERWISE("none")),
};

static const struct object simulation =
    OBJECT_OF("simulation", "The simulated world of the driver \"simulated\"", simulation_fields);

/* --- lines on other servers --- */

static const char *const whens[] = {"on",  "raise",    "lower", "driven", "withdrawn",
                                    "red", "flashing", "green", NULL};

static const char *const link_groups[] = {"GA", "FB", "POWER", NULL};

static const struct field line_fields[] = {
    TEXT("input", written_line, input,
         "the line that is read: \"seated\", \"main.west.approach\" (see below); either this",
         OTHERWISE("none")),
    TEXT("output", written_line, output,
         "or the line that is driven: \"main.west.signal\", \"main.span-power\"",
         OTHERWISE("none")),
    WORD("when", written_line, when,
         "when the output wants its device on: the lift has one to \"raise\" and one to \"lower\", "
         "the lock one to be \"driven\" and one to be \"withdrawn\", the river lights \"red\", "
         "\"flashing\" and \"green\"; all others are \"on\"",
         whens, DEFAULT("on")),
    TEXT("link", written_line, link, "name of the link that serves it",
         OTHERWISE("none; needed without events")),
    COUNT("bus", written_line, bus, "bus on the other server", "1", "255", DEFAULT("1")),
    WORD("group", written_line, group,
         "device group there: an accessory, a feedback, or track power", link_groups,
         OTHERWISE("none; a link needs it")),
    COUNT("address", written_line, address, "address there; not of POWER", "1", "65535",
          OTHERWISE("none; GA and FB need it")),
    COUNT("port", written_line, port,
          "GA: the port that shows the value, or is set to switch the device on", "0", "255",
          DEFAULT("0")),
    COUNT("off port", written_line, off_port,
          "GA: the port that is set to 1 to switch the device off", "0", "255",
          OTHERWISE("the same port, set to 0")),
    COUNT("on", written_line, on,
          "of an input: the value that means made, clear, at stop or dead (POWER: 1 is ON); the "
          "other one means not",
          "0", "1", OTHERWISE("none; an input needs it")),
    TEXT("on event", written_line, on_event,
         "instead of a link: the event of another node of LCC, such as 05.01.01.01.A2.07.00.00, "
         "that means clear, at stop or dead, or that makes it proceed or powered",
         OTHERWISE("none")),
    TEXT("off event", written_line, off_event, "the event that means, or makes it, the contrary",
         OTHERWISE("none")),
};

static const struct object line = OBJECT_OF(
    "line",
    "A line of the bridge that a device on another server, or another node of LCC, serves instead "
    "of the \"output\" driver",
    line_fields);

static const struct field link_train_fields[] = {
    COUNT("bus", written_link_train, bus, "bus on the other server", "1", "255", DEFAULT("1")),
    COUNT("address", written_link_train, address, "GL address of the train there", "1", "65535",
          REQUIRED),
    COUNT("steps", written_link_train, steps, "its speed steps, as that server counts them", "1",
          "1000", DEFAULT("28")),
};

static const struct object link_train =
    OBJECT_OF("linked train",
              "A train that is given an emergency stop by its address while an approach is not "
              "seen clear and "
              "the span it leads to is without power: not lined",
              link_train_fields);

static const struct field link_fields[] = {
    TEXT("name", written_link, name, "unique", REQUIRED),
    TEXT("address", written_link, address, "numeric IPv4 or IPv6 address of the other server",
         DEFAULT("127.0.0.1")),
    COUNT("port", written_link, port, "TCP port there", "1", "65535", DEFAULT("4303")),
    QUANTITY(
        "beat", written_link, beat_s,
        "how often a value is polled even if nothing happens, and an unproved command is repeated",
        QUANTITY_TIME, "20 ms", "10 s", DEFAULT("500 ms")),
    QUANTITY("reply limit", written_link, reply_s,
             "longest wait for a reply; then the link is lost", QUANTITY_TIME, "50 ms", "10 s",
             DEFAULT("1 s")),
    QUANTITY("obey limit", written_link, obey_s,
             "longest time from a command to its proof by INFO; then the device is lost",
             QUANTITY_TIME, "50 ms", "30 s", DEFAULT("2 s")),
    QUANTITY("first retry", written_link, retry_least_s,
             "pause before the next attempt to connect; doubled each time", QUANTITY_TIME, "50 ms",
             "1 min", DEFAULT("500 ms")),
    QUANTITY("longest retry", written_link, retry_most_s, "longest such pause", QUANTITY_TIME,
             "50 ms", "10 min", DEFAULT("30 s")),
    QUANTITY("lock", written_link, lock_s,
             "how long each commanded accessory is locked there, in whole seconds; renewed at half "
             "of it",
             QUANTITY_TIME, "2 s", "1 h", DEFAULT("10 s")),
    LIST("trains", written_link, trains, "trains that may be stopped there by their address",
         &link_train, 0, OTHERWISE("none")),
};

static const struct object link_object = OBJECT_OF(
    "link", "Another server on which devices of this bridge are; it must be one you trust",
    link_fields);

/* --- terminals of this computer --- */

static const struct field chip_fields[] = {
    TEXT("name", written_chip, name, "unique, for people", REQUIRED),
    TEXT("device", written_chip, device,
         "\"/dev/gpiochip0\", or the label that the kernel gives the chip, which stays the same "
         "when numbers change",
         REQUIRED),
    QUANTITY("every", written_chip, poll_s,
             "read this often, for a chip without interrupts, as expanders on I2C often are; 0: "
             "its edges are events",
             QUANTITY_TIME, "0 s", "1 s", DEFAULT("0 s")),
};

static const struct object chip = OBJECT_OF("chip", "A device with GPIO lines", chip_fields);

static const char *const actives[] = {"high", "low", NULL};
static const char *const pulls[] = {"as is", "up", "down", "none", NULL};

static const struct field pin_fields[] = {
    TEXT("chip", written_pin, chip, "name of its chip", OTHERWISE("the first")),
    COUNT("line", written_pin, offset, "its number on that chip", "0", "1023", REQUIRED),
    WORD(
        "active", written_pin, active,
        "the level that means made, clear, proved, on. A broken wire must read as the other one: a "
        "contact that makes to ground, with a pull up, is active \"low\"; an output must be off "
        "at the level that its resistor gives it while nobody drives it",
        actives, DEFAULT("high")),
    WORD("pull", written_pin, pull, "of an input: the chip's own resistor, where it has one", pulls,
         DEFAULT("as is")),
};

static const struct object pin = OBJECT_OF("pin", "A GPIO line", pin_fields);

static const struct field wired_input_fields[] = {
    TEXT("input", written_wired_input, input,
         "the line that is read: \"seated\", \"main.west.approach\"", REQUIRED),
    OBJECT("pin", written_wired_input, pin, "where it is wired to", &pin, REQUIRED),
    OBJECT("second", written_wired_input, second,
           "a second contact that must say the same: while they differ the input is off", &pin,
           OTHERWISE("none")),
    QUANTITY("differ", written_wired_input, differ_s,
             "longest time that they may; then there is no reading, which is a fault (the default "
             "is common practice, no source)",
             QUANTITY_TIME, "10 ms", "5 s", DEFAULT("300 ms")),
};

static const struct object wired_input =
    OBJECT_OF("wired input", "A contact, detector or feedback", wired_input_fields);

static const struct field wired_output_fields[] = {
    TEXT("output", written_wired_output, output,
         "the line that is driven: \"main.west.signal\", \"main.span-power\", \"brake\"", REQUIRED),
    WORD("when", written_wired_output, when,
         "when the output wants its pin on: the lock has one to be \"driven\" and one to be "
         "\"withdrawn\", the river lights \"red\", \"flashing\" and \"green\"; all others are "
         "\"on\"",
         whens, DEFAULT("on")),
    OBJECT("pin", written_wired_output, pin, "where it is wired to", &pin, REQUIRED),
};

static const struct object wired_output =
    OBJECT_OF("wired output", "A relay, lamp, horn, lock motor or brake", wired_output_fields);

static const struct field pwm_fields[] = {
    TEXT("chip", written_pwm, chip, "its folder: \"/sys/class/pwm/pwmchip0\"", REQUIRED),
    COUNT("channel", written_pwm, channel, "of that chip", "0", "255", DEFAULT("0")),
    QUANTITY("period", written_pwm, period_s, "of its pulses", QUANTITY_TIME, "10 us", "100 ms",
             OTHERWISE("50 us for a motor, that is 20 kHz; 20 ms for a servo or a speed "
                       "controller, that is 50 Hz; 1 ms for a light, that is 1 kHz (common "
                       "practice, no source)")),
    FLAG("inversed", written_pwm, is_inversed, "the power stage is on while the output is low",
         "false"),
};

static const struct object pwm = OBJECT_OF("pwm", "A pulsed output of the kernel", pwm_fields);

static const struct field scene_pin_fields[] = {
    TEXT("device", written_scene_pin, device,
         "\"/dev/gpiochip0\", or the label that the kernel gives the chip", REQUIRED),
    COUNT("line", written_scene_pin, offset, "its number on that chip", "0", "1023", REQUIRED),
    WORD("active", written_scene_pin, active, "the level that means on", actives, DEFAULT("high")),
};

static const struct object scene_pin =
    OBJECT_OF("scene pin", "A GPIO line of a scene", scene_pin_fields);

static const char *const scene_hours[] = {"always", "by night", "by day", NULL};

static const struct field scene_output_fields[] = {
    TEXT("name", written_scene_output, name, "for people, unique", REQUIRED),
    TEXT("when", written_scene_output, when,
         "what must hold, as \"when\" of a voice: \"river-green\", \"warning, not train\"",
         DEFAULT("always")),
    QUANTITY("delay", written_scene_output, delay_s,
             "it must hold for so long before the output goes on", QUANTITY_TIME, "0 s", "10 min",
             DEFAULT("0 s")),
    QUANTITY("linger", written_scene_output, linger_s,
             "it must not hold for so long before the output goes off", QUANTITY_TIME, "0 s",
             "10 min", DEFAULT("0 s")),
    QUANTITY("fade", written_scene_output, fade_s, "from off to on, and back; needs \"pwm\"",
             QUANTITY_TIME, "0 s", "1 min", DEFAULT("0 s")),
    QUANTITY("flash", written_scene_output, flash_s, "on and off once", QUANTITY_TIME, "200 ms",
             "1 min", OTHERWISE("steady")),
    QUANTITY("level", written_scene_output, level, "how bright when on; needs \"pwm\"",
             QUANTITY_RATIO, "0 %", "100 %", DEFAULT("100 %")),
    WORD("hours", written_scene_output, hours,
         "by the layout's clock (device group TIME); while that stands still: always", scene_hours,
         DEFAULT("always")),
    OBJECT("pin", written_scene_output, pin, "the GPIO line that it is at", &scene_pin,
           OTHERWISE("none; without \"pwm\", too, it is only logged, at debug")),
    OBJECT("pwm", written_scene_output, pwm, "the pulsed output that it is at", &pwm,
           OTHERWISE("none")),
};

static const struct object scene_output =
    OBJECT_OF("scene output", "A light or a small mechanism", scene_output_fields);

static const struct field scene_fields[] = {
    TEXT("dawn", written_scene, dawn, "time of day at which it begins to grow light",
         DEFAULT("6:00")),
    TEXT("dusk", written_scene, dusk, "time of day at which it begins to grow dark",
         DEFAULT("18:00")),
    QUANTITY("twilight", written_scene, twilight_s, "how long that takes, by the layout's clock",
             QUANTITY_TIME, "0 s", "6 h", DEFAULT("30 min")),
    LIST("outputs", written_scene, outputs, "what follows the bridge", &scene_output, 0,
         OTHERWISE("none")),
};

static const struct object scene =
    OBJECT_OF("scenes",
              "Lights and small mechanisms at this computer that follow what is proved of the "
              "bridge, and command nothing of it. When the daemon dies their level is not promised",
              scene_fields);

static const struct field greeting_fields[] = {
    TEXT("line", written_greeting, line, "as for drive", REQUIRED),
};

static const struct object greeting =
    OBJECT_OF("greeting", "A line sent at the start", greeting_fields);

static const char *const bauds[] = {"1200",  "2400",  "4800",   "9600", "19200",
                                    "38400", "57600", "115200", NULL};

static const struct field serial_fields[] = {
    TEXT("device", written_serial, device, "such as \"/dev/serial/by-id/...\"", REQUIRED),
    WORD("baud", written_serial, baud, "bits in a second", bauds, DEFAULT("9600")),
    COUNT("full", written_serial, full, "the number that means full effort", "1", "100000",
          DEFAULT("1000")),
    LIST("greetings", written_serial, greetings, "lines sent at the start, in turn", &greeting, 0,
         OTHERWISE("none")),
    TEXT("drive", written_serial, drive,
         "the line for an effort, its end included: {effort} and {size} are numbers with and "
         "without a sign, {direction} a word, {xor} and {sum} two hexadecimal digits over what "
         "stands before, {0x0D} a byte",
         REQUIRED),
    TEXT("stop", written_serial, stop, "the line that stops the motor", REQUIRED),
    TEXT("raise word", written_serial, raise_word, "{direction} to raise", DEFAULT("F")),
    TEXT("lower word", written_serial, lower_word, "{direction} to lower", DEFAULT("R")),
    TEXT("reply", written_serial, reply, "what each reply begins with; any other is a fault",
         OTHERWISE("no reply is expected")),
    QUANTITY("reply limit", written_serial, reply_s, "longest wait for a reply", QUANTITY_TIME,
             "5 ms", "2 s", DEFAULT("100 ms")),
    QUANTITY("repeat", written_serial, repeat_s,
             "the last line is sent again this often; set the controller's own timeout to a few "
             "times this. 0: never",
             QUANTITY_TIME, "0 s", "5 s", DEFAULT("100 ms")),
};

static const struct object serial =
    OBJECT_OF("serial", "A motor controller at a serial line, 8 bits, no parity", serial_fields);

static const char *const stage_kinds[] = {"two-wire", "phase", "pulse", "relays", "serial", NULL};

static const struct field stage_fields[] = {
    WORD("kind", written_power_stage, kind,
         "\"two-wire\": one pulsed input for each direction; \"phase\": one pulsed input and one "
         "for the direction; \"pulse\": a radio-control speed controller; \"relays\": one for "
         "each direction; or \"serial\"",
         stage_kinds, REQUIRED),
    OBJECT("pwm", written_power_stage, pwm,
           "two-wire: the pulses that raise; phase, pulse: the pulses", &pwm,
           OTHERWISE("none; these kinds need it")),
    OBJECT("lower pwm", written_power_stage, lower_pwm, "two-wire: the pulses that lower", &pwm,
           OTHERWISE("none; two-wire needs it")),
    OBJECT("direction", written_power_stage, direction, "phase: on raises", &pin,
           OTHERWISE("none; phase needs it")),
    OBJECT("raise", written_power_stage, raise, "relays: the one that raises", &pin,
           OTHERWISE("none; relays needs it")),
    OBJECT("lower", written_power_stage, lower, "relays: the one that lowers", &pin,
           OTHERWISE("none; relays needs it")),
    OBJECT("enable", written_power_stage, enable,
           "of the power stage, or a relay in its supply: on only while it drives (pulse: while "
           "all is well)",
           &pin, OTHERWISE("none")),
    QUANTITY("dead time", written_power_stage, dead_s,
             "at rest this long before it turns the other way", QUANTITY_TIME, "0 s", "10 s",
             DEFAULT("200 ms")),
    QUANTITY("arming", written_power_stage, arming_s,
             "pulse: neutral this long before it may leave it", QUANTITY_TIME, "0 s", "1 min",
             DEFAULT("3 s")),
    QUANTITY("neutral", written_power_stage, neutral_s, "pulse: at rest", QUANTITY_TIME, "500 us",
             "2.5 ms", DEFAULT("1.5 ms")),
    QUANTITY("full raise", written_power_stage, full_raise_s, "pulse: full effort up",
             QUANTITY_TIME, "500 us", "2.5 ms", DEFAULT("2 ms")),
    QUANTITY("full lower", written_power_stage, full_lower_s, "pulse: full effort down",
             QUANTITY_TIME, "500 us", "2.5 ms", DEFAULT("1 ms")),
    QUANTITY("least effort", written_power_stage, least_effort,
             "relays: below this they stay at rest; otherwise the motor has its whole supply",
             QUANTITY_RATIO, "0 %", "100 %", DEFAULT("1 %")),
    OBJECT("serial", written_power_stage, serial, "serial: the line", &serial,
           OTHERWISE("none; serial needs it")),
};

static const struct object stage =
    OBJECT_OF("power stage", "What drives the lift's motor", stage_fields);

static const struct field servo_fields[] = {
    OBJECT("pwm", written_lock_servo, pwm, "its pulses; none at rest", &pwm, REQUIRED),
    QUANTITY("driven", written_lock_servo, driven_s, "pulse that drives the bar", QUANTITY_TIME,
             "500 us", "2.5 ms", REQUIRED),
    QUANTITY("withdrawn", written_lock_servo, withdrawn_s, "pulse that withdraws it", QUANTITY_TIME,
             "500 us", "2.5 ms", REQUIRED),
};

static const struct object servo =
    OBJECT_OF("lock servo", "A radio-control servo that moves the lock bar", servo_fields);

static const char *const position_kinds[] = {WIRED_SENSORS_MEASURED(WIRED_SENSOR_WORD)
                                                 WIRED_SENSORS_COUNTED(WIRED_SENSOR_WORD) NULL};
static const char *const current_kinds[] = {WIRED_SENSORS_MEASURED(WIRED_SENSOR_WORD) NULL};

static const struct field wired_position_fields[] = {
    WORD("kind", written_position, kind,
         "a potentiometer at an analogue input (\"iio\", \"hwmon\"), or a pulse generator "
         "(\"encoder\"), whose count is known from the first contact at an end on",
         position_kinds, REQUIRED),
    TEXT("device", written_position, device, "iio, hwmon: its folder or the name that it has there",
         OTHERWISE("none; iio and hwmon need it")),
    TEXT("channel", written_position, channel, "\"voltage0\" (iio), \"in1\" (hwmon)",
         OTHERWISE("none; iio and hwmon need it")),
    QUANTITY("at seat", written_position, seat_v, "measured with the span seated", QUANTITY_VOLTAGE,
             "-60 V", "60 V", OTHERWISE("none; iio and hwmon need it")),
    QUANTITY("at open", written_position, open_v, "measured with the span fully open",
             QUANTITY_VOLTAGE, "-60 V", "60 V", OTHERWISE("none; iio and hwmon need it")),
    QUANTITY(
        "least", written_position, least_v, "below this a wire is broken", QUANTITY_VOLTAGE,
        "-60 V", "60 V",
        OTHERWISE("a tenth of the range below the lower of the two, and not below half of it")),
    QUANTITY("most", written_position, most_v, "above this a wire is broken", QUANTITY_VOLTAGE,
             "-60 V", "60 V", OTHERWISE("a tenth of the range above the higher of the two")),
    EITHER("jump", written_position, jump, "the span cannot move faster: such a reading is none",
           QUANTITY_ROTATION, QUANTITY_SPEED,
           OTHERWISE("five times full speed, at least half the travel in a second")),
    QUANTITY("frozen", written_position, frozen_s,
             "driven, and not a bit of change for so long: no reading; 0: not watched",
             QUANTITY_TIME, "0 s", "1 min", DEFAULT("2 s")),
    QUANTITY("every", written_position, poll_s, "iio, hwmon: read this often", QUANTITY_TIME,
             "1 ms", "1 s", DEFAULT("20 ms")),
    OBJECT("a", written_position, a, "encoder: its channel, or the leading one when it raises",
           &pin, OTHERWISE("none; encoder needs it")),
    OBJECT("b", written_position, b, "encoder: the other channel", &pin,
           OTHERWISE("none: the direction is that of the drive")),
    COUNT("counts", written_position, counts,
          "encoder: edges of all its channels from seated to open", "10", "1000000",
          OTHERWISE("none; encoder needs it")),
};

static const struct object wired_position =
    OBJECT_OF("wired position", "The sensor of the span's position", wired_position_fields);

static const struct field wired_current_fields[] = {
    WORD("kind", written_current, kind, "of the analogue input", current_kinds, REQUIRED),
    TEXT("device", written_current, device, "its folder or the name that it has there", REQUIRED),
    TEXT("channel", written_current, channel, "\"current3\" (iio), \"curr1\" (hwmon)", REQUIRED),
    EITHER("zero", written_current, zero, "measured without current", QUANTITY_CURRENT,
           QUANTITY_VOLTAGE, OTHERWISE("0")),
    EITHER("one ampere", written_current, one, "measured at 1 A", QUANTITY_CURRENT,
           QUANTITY_VOLTAGE, OTHERWISE("1 A")),
    QUANTITY("least", written_current, least_a, "less cannot be: a wire is broken",
             QUANTITY_CURRENT, "-500 A", "0 A", OTHERWISE("the most, the other way")),
    QUANTITY("most", written_current, most_a, "more cannot be", QUANTITY_CURRENT, "10 mA", "500 A",
             DEFAULT("100 A")),
    QUANTITY("frozen", written_current, frozen_s,
             "driven, and not a bit of change for so long: no reading; 0: not watched",
             QUANTITY_TIME, "0 s", "1 min", DEFAULT("0 s")),
    QUANTITY("every", written_current, poll_s, "read this often", QUANTITY_TIME, "1 ms", "1 s",
             DEFAULT("20 ms")),
};

static const struct object wired_current =
    OBJECT_OF("wired current", "The sensor of the motor's current", wired_current_fields);

static const struct field heartbeat_fields[] = {
    OBJECT("pin", written_heartbeat, pin, "for a watchdog relay that cuts the motor's supply", &pin,
           REQUIRED),
    QUANTITY("half", written_heartbeat, half_s, "from change to change", QUANTITY_TIME, "10 ms",
             "5 s", DEFAULT("250 ms")),
};

static const struct object heartbeat = OBJECT_OF(
    "heartbeat", "A level that changes only while the bridge is looked after", heartbeat_fields);

static const struct field wired_fields[] = {
    LIST("chips", written_wired, chips, "devices with GPIO lines", &chip, 0, OTHERWISE("none")),
    LIST("inputs", written_wired, inputs, "contacts, detectors and feedbacks", &wired_input, 0,
         OTHERWISE("none")),
    LIST("outputs", written_wired, outputs, "relays, lamps and the like", &wired_output, 0,
         OTHERWISE("none")),
    OBJECT("power stage", written_wired, stage, "what drives the lift's motor", &stage,
           OTHERWISE("none")),
    OBJECT("lock servo", written_wired, servo, "instead of outputs for the lock", &servo,
           OTHERWISE("none")),
    OBJECT("position", written_wired, position, "sensor of the span's position", &wired_position,
           OTHERWISE("none")),
    OBJECT("current", written_wired, current, "sensor of the motor's current", &wired_current,
           OTHERWISE("none")),
    OBJECT("heartbeat", written_wired, heartbeat, "for an external watchdog", &heartbeat,
           OTHERWISE("none")),
};

static const struct object wired = OBJECT_OF(
    "wired",
    "The terminals of this computer that the driver \"wired\" reads and drives. When it dies, a "
    "GPIO line's level is not promised and a PWM goes on: the safe level must come from the wiring",
    wired_fields);

/* --- the stand --- */

static const struct field stand_device_fields[] = {
    TEXT("name", written_stand_device, name, "unique, for people", REQUIRED),
    TEXT("device", written_stand_device, device,
         "its path, as \"/dev/input/by-id/...-event-kbd\", which stays the same, or the name that "
         "the kernel gives it (\"cat /proc/bus/input/devices\")",
         REQUIRED),
    FLAG("shared", written_stand_device, is_shared,
         "others may read it as well: what is typed on it goes to the console, too", "false"),
};

static const struct object stand_device = OBJECT_OF(
    "stand device", "A keyboard, button box or joystick; it may be unplugged", stand_device_fields);

static const char *const control_kinds[] = {STAND_CONTROL_ROWS(STAND_CONTROL_WORD) NULL};

static const struct field control_fields[] = {
    WORD(
        "asks", written_control, kind,
        "a button or spring-return lever: what it asks for when it is pressed; \"horn\": it sounds "
        "while pressed; \"grip\": the throttle counts only while it is held; \"lamp test\"; or a "
        "switch: \"key switch\" gives the right to operate, without it the stand only stops and "
        "shows; \"local\" keeps all but the two stops of everybody else away",
        control_kinds, REQUIRED),
    OBJECT("pin", written_control, pin,
           "where its contact is wired to; that of an \"emergency stop\" is made while it is not "
           "pressed, so that a broken wire is a stop",
           &pin, OTHERWISE("none: it has a \"key\"")),
    OBJECT("second", written_control, second,
           "a second contact that must say the same, such as the one that opens when the first "
           "closes: while they differ it is not pressed",
           &pin, OTHERWISE("none")),
    QUANTITY("differ", written_control, differ_s,
             "longest time that they may; then it cannot be read, which is told (the default is "
             "common practice, no source)",
             QUANTITY_TIME, "10 ms", "5 s", DEFAULT("300 ms")),
    TEXT("device", written_control, device, "name of the device that has its \"key\"",
         OTHERWISE("the first")),
    TEXT("key", written_control, key,
         "its key, as the kernel calls it: \"KEY_R\", \"KEY_SPACE\", \"BTN_TRIGGER\"; or its "
         "number",
         OTHERWISE("none: it has a \"pin\"")),
    QUANTITY("debounce", written_control, debounce_s,
             "a contact must hold so long to be believed; a stop is believed at once (common "
             "practice, no source). Keys come without bounce",
             QUANTITY_TIME, "0 s", "500 ms", DEFAULT("20 ms")),
    QUANTITY("stuck", written_control, stuck_s,
             "pressed for so long a button is stuck: it counts as released, and is told once; "
             "switches never are",
             QUANTITY_TIME, "1 s", "1 h", OTHERWISE("30 s; 5 min of a grip")),
};

static const struct object control =
    OBJECT_OF("control", "A button, lever or switch of the stand", control_fields);

static const char *const throttle_kinds[] = {"potentiometer", "encoder", "joystick", NULL};

static const struct field throttle_fields[] = {
    WORD("kind", written_throttle, kind,
         "a \"potentiometer\" at an analogue input (IIO), an \"encoder\" whose steps an input "
         "device counts, a spring-centred \"joystick\". The first two stay where they are let go, "
         "and need a \"grip\"",
         throttle_kinds, REQUIRED),
    WORD("sets", written_throttle, sets,
         "the \"speed\", or the \"voltage\" as a transformer does: then the load slows the span",
         throttle_sets, DEFAULT("speed")),
    QUANTITY("dead", written_throttle, dead_share,
             "below this share the hand is at rest (a judgement, no source)", QUANTITY_RATIO, "5 %",
             "50 %", DEFAULT("10 %")),
    TEXT("device", written_throttle, device,
         "potentiometer: folder or name of its IIO device; else name of one of \"devices\"",
         OTHERWISE("the first of \"devices\"; a potentiometer needs it")),
    TEXT("channel", written_throttle, channel, "potentiometer: \"voltage0\"",
         OTHERWISE("none; a potentiometer needs it")),
    QUANTITY("full down", written_throttle, down_v, "potentiometer: measured there",
             QUANTITY_VOLTAGE, "-60 V", "60 V", OTHERWISE("none; a potentiometer needs it")),
    QUANTITY("rest", written_throttle, rest_v, "potentiometer: measured there", QUANTITY_VOLTAGE,
             "-60 V", "60 V", OTHERWISE("half way between both ends")),
    QUANTITY("full up", written_throttle, up_v, "potentiometer: measured there", QUANTITY_VOLTAGE,
             "-60 V", "60 V", OTHERWISE("none; a potentiometer needs it")),
    QUANTITY("least", written_throttle, least_v, "potentiometer: below this a wire is broken",
             QUANTITY_VOLTAGE, "-60 V", "60 V",
             OTHERWISE("a tenth of the range below the lower end, and not below half of it")),
    QUANTITY("most", written_throttle, most_v, "potentiometer: above this a wire is broken",
             QUANTITY_VOLTAGE, "-60 V", "60 V",
             OTHERWISE("a tenth of the range above the higher end")),
    QUANTITY("every", written_throttle, poll_s, "potentiometer: read this often while gripped",
             QUANTITY_TIME, "10 ms", "200 ms", DEFAULT("50 ms")),
    WORD("axis", written_throttle, axis, "of the input device", stand_axis_words,
         OTHERWISE("\"dial\" of an encoder, \"y\" of a joystick")),
    FLAG("inversed", written_throttle, is_inversed,
         "the axis counts down while the hand asks for up, as a joystick pushed forward does",
         "false"),
    QUANTITY("step", written_throttle, step_share, "encoder: share of full speed of one step",
             QUANTITY_RATIO, "1 %", "50 %", DEFAULT("5 %")),
};

static const struct object throttle =
    OBJECT_OF("throttle", "A hand throttle: let go, unplugged or not gripped, the span rests",
              throttle_fields);

static const char *const row_kinds[] = {"shift register", "addressable", NULL};

static const struct field row_fields[] = {
    TEXT("name", written_row, name, "unique, for people", REQUIRED),
    WORD("kind", written_row, kind,
         "\"shift register\": a bit for each lamp, shown when the chip select rises; "
         "\"addressable\": lamps in a chain with a clock and a data line, each with its colour",
         row_kinds, REQUIRED),
    TEXT("device", written_row, device, "an SPI device of this computer",
         DEFAULT("/dev/spidev0.0")),
    COUNT("places", written_row, places, "how many lamps there are, used or not", "1", "128",
          REQUIRED),
    COUNT("hertz", written_row, hertz, "clock of the SPI bus", "10000", "10000000",
          DEFAULT("1000000")),
    QUANTITY("brightness", written_row, brightness, "addressable: of each that is lit",
             QUANTITY_RATIO, "5 %", "100 %", DEFAULT("30 %")),
    FLAG("inversed", written_row, is_inversed, "shift register: a lamp is lit while its bit is 0",
         "false"),
};

static const struct object row =
    OBJECT_OF("lamp row", "Lamps one after the other at an SPI device", row_fields);

static const char *const colours[] = {"white", "red", "green", "yellow", "blue", NULL};

static const struct field lamp_fields[] = {
    TEXT("shows", written_lamp, shows,
         "\"lined\", \"moving\", \"open\", \"fault\"; the stand's own \"key switch\" and "
         "\"local\"; a section that is occupied, as \"main.span\", \"main.west.stop\", "
         "\"main.west.approach\"; a home signal at proceed, as \"main.west.signal\"",
         REQUIRED),
    OBJECT("pin", written_lamp, pin, "the GPIO line that lights it", &pin,
           OTHERWISE("none: it has a \"place\"")),
    TEXT("row", written_lamp, row, "name of the row that it is in", OTHERWISE("the first")),
    COUNT("place", written_lamp, place, "its place in the row, 0 is the nearest to the computer",
          "0", "127", OTHERWISE("none: it has a \"pin\"")),
    WORD("colour", written_lamp, colour, "in a row that has colours", colours, DEFAULT("white")),
};

static const struct object lamp = OBJECT_OF("lamp", "A lamp of the stand", lamp_fields);

static const struct field stand_fields[] = {
    LIST("chips", written_stand, chips, "devices with GPIO lines; the stand's own list", &chip, 0,
         OTHERWISE("none")),
    LIST("devices", written_stand, devices, "keyboards, button boxes, joysticks", &stand_device, 0,
         OTHERWISE("none")),
    LIST("controls", written_stand, controls, "buttons, levers and switches", &control, 0,
         OTHERWISE("none")),
    OBJECT("throttle", written_stand, throttle, "the hand throttle", &throttle, OTHERWISE("none")),
    LIST("rows", written_stand, rows, "rows of lamps at SPI devices", &row, 0, OTHERWISE("none")),
    LIST("lamps", written_stand, lamps, "what is lit", &lamp, 0, OTHERWISE("none")),
};

static const struct object stand = OBJECT_OF(
    "stand",
    "Buttons, switches, a hand throttle and lamps at this computer, whatever the bridge's output "
    "is. "
    "It asks as any client does, and shows what is proved; it is not an emergency stop: fit a "
    "hard-wired one beside it",
    stand_fields);

/* --- bridge and root --- */

static const struct field bridge_fields[] = {
    TEXT("name", written_bridge, name, "unique", REQUIRED),
    COUNT("bus", written_bridge, bus, "protocol bus, each bridge its own", "1", "255",
          OTHERWISE("its place in the list, from 1")),
    TEXT(
        "output", written_bridge, output,
        "driver that touches the world, or what of it no \"lines\" are given for; \"none\" if they "
        "are all there is",
        DEFAULT("simulated")),
    FLAG("waits for power", written_bridge, waits_for_power,
         "after every start track power and signals wait for a SET POWER ON, as after an emergency "
         "stop; false: as soon as the bridge is lined they come by themselves",
         "false"),
    LIST("links", written_bridge, links, "other servers on which devices of this bridge are",
         &link_object, 0, OTHERWISE("none")),
    LIST("lines", written_bridge, lines,
         "lines that devices on other servers, or other nodes, serve", &line, 0, OTHERWISE("none")),
    OBJECT("wired", written_bridge, wired, "terminals of this computer; for output \"wired\"",
           &wired, OTHERWISE("none")),
    OBJECT("stand", written_bridge, stand, "buttons, lamps and a hand throttle beside the bridge",
           &stand, OTHERWISE("none")),
    OBJECT("addresses", written_bridge, addresses, "moves devices on the bus", &addresses,
           OTHERWISE("see there")),
    OBJECT("lcc", written_bridge, node, "the bridge as a node of LCC", &node,
           OTHERWISE("it is not one")),
    OBJECT("lift", written_bridge, lift, "how the span moves", &lift, REQUIRED),
    OBJECT("leaf", written_bridge, leaf, "the moving span and its balance", &leaf,
           OTHERWISE("none; a powered lift needs it")),
    OBJECT("room", written_bridge, room, "what is around it", &room,
           OTHERWISE("clearances are not judged")),
    OBJECT("drive", written_bridge, drive, "gears from motor to span", &drive,
           OTHERWISE("none; a powered lift needs it")),
    OBJECT("motor", written_bridge, motor, "the motor's data sheet", &motor,
           OTHERWISE("none; a powered lift needs it")),
    OBJECT("supply", written_bridge, supply, "what feeds the motor", &supply,
           OTHERWISE("none; a powered lift needs it")),
    QUANTITY("scale", written_bridge, scale, "of the model: \"1:12\", or 12", QUANTITY_RATIO,
             "1:1000", "1000", OTHERWISE("not known")),
    OBJECT("prototype", written_bridge, prototype, "what it is a model of", &prototype,
           OTHERWISE("see there")),
    QUANTITY("joint", written_bridge, joint_m, "by so much rails may differ at a joint",
             QUANTITY_LENGTH, "0.01 mm", "20 mm",
             OTHERWISE("a third of the wheels' flange by the scale (25 mm of the prototype, at "
                       "least an HO wheel's 0.025 in, NMRA RP-25; from memory)")),
    OBJECT("tower", written_bridge, tower, "what stands under the axis", &tower,
           OTHERWISE("whether it tips is not judged")),
    OBJECT("evening", written_bridge, evening, "the openings of a busy session", &evening,
           OTHERWISE("see there")),
    OBJECT("motion", written_bridge, motion, "speeds, efforts and watches", &motion,
           OTHERWISE("see there")),
    OBJECT("lock", written_bridge, lock, "the span lock", &lock, OTHERWISE("see there")),
    OBJECT("contacts", written_bridge, contacts, "which contacts there are", &contacts, REQUIRED),
    OBJECT("sensors", written_bridge, sensors, "what is measured", &sensors,
           OTHERWISE("see there")),
    OBJECT("warning", written_bridge, warning, "horn and warning time", &warning,
           OTHERWISE("see there")),
    OBJECT("sound", written_bridge, sound, "what is heard by a sound card", &sound,
           OTHERWISE("none")),
    OBJECT("scenes", written_bridge, scene, "lights that follow the bridge", &scene,
           OTHERWISE("none")),
    OBJECT("timing", written_bridge, timing, "delays and waits", &timing, OTHERWISE("see there")),
    LIST("tracks", written_bridge, tracks, "the tracks over it", &track, 1, REQUIRED),
    OBJECT("simulation", written_bridge, simulation, "the simulated world", &simulation,
           OTHERWISE("see there")),
};

static const struct object bridge = OBJECT_OF("bridge", "One bridge", bridge_fields);

static const struct field config_fields[] = {
    OBJECT("server", written_config, server, "the network side", &server, OTHERWISE("see there")),
    OBJECT("record", written_config, record, "what is kept of what happens", &record,
           OTHERWISE("none is kept")),
    OBJECT("lcc", written_config, lcc, "links to Layout Command Control", &lcc, OTHERWISE("none")),
    LIST("bridges", written_config, bridges, "the bridges of this daemon", &bridge, 1, REQUIRED),
};

const struct object tables_config = OBJECT_OF("configuration", "The whole file", config_fields);

const struct object *tables_object(size_t index) {
    static const struct object *const objects[] = {
        &tables_config,
        &server,
        &tables_listener,
        &panel,
        &record,
        &lcc,
        &lcc_listener,
        &lcc_hub,
        &lcc_can,
        &bridge,
        &node,
        &event,
        &addresses,
        &lift,
        &leaf,
        &mass,
        &counterweight,
        &seat,
        &corner,
        &pocket,
        &slide,
        &room,
        &ropes,
        &girders,
        &bearings,
        &tower,
        &prototype,
        &drive,
        &pinion,
        &gearbox,
        &worm,
        &motor,
        &heat,
        &supply,
        &evening,
        &motion,
        &lock,
        &contacts,
        &sensors,
        &warning,
        &sound,
        &voice,
        &scene,
        &scene_output,
        &scene_pin,
        &timing,
        &track,
        &end,
        &fastest,
        &simulation,
        &contact_places,
        &train,
        &fault,
        &link_object,
        &link_train,
        &line,
        &wired,
        &chip,
        &wired_input,
        &wired_output,
        &pin,
        &stage,
        &pwm,
        &serial,
        &greeting,
        &servo,
        &wired_position,
        &wired_current,
        &heartbeat,
        &stand,
        &stand_device,
        &control,
        &throttle,
        &row,
        &lamp,
    };
    return index < LENGTH_OF(objects) ? objects[index] : NULL;
}

#include "config/reader/measure.h"

#include <stdbool.h>
#include <string.h>

static const struct {
    const char *place; /* below the bridge; "*" stands for the place in a list */
    const char *words;
} advice[] = {
    {"/lift/travel", "lay a level with an angle scale on the deck, seated and fully open: the "
                     "difference is the travel; for a vertical lift, run a tape from seat to shoe"},
    {"/lift/radius", "count the teeth of the whole circle (or of a part, by its share) times their "
                     "module, and halve it; of a rolling lift, a tape across the segment"},
    {"/lift/strut pin", "from the trunnion's centre with a tape and a level, span seated: how far "
                        "toward the toe, how far up"},
    {"/lift/pinion axis", "from the trunnion's centre with a tape and a level: how far toward the "
                          "toe (negative: behind), how far up"},
    {"/lift/drum", "calipers over the rope on the drum, less one thickness of the rope"},
    {"/leaf", "weigh the parts before they are put together, and note where the centre of each is"},
    {"/leaf/masses/*/mass",
     "a kitchen or luggage scale; for a part that cannot come off, its volume times its density"},
    {"/leaf/masses/*/at", "lay the part on an edge until it balances; from the axis to that line, "
                          "and up, span seated"},
    {"/leaf/counterweight", "weigh it block by block; its centre from the axis, span seated"},
    {"/leaf/counterweight/outline",
     "of a vertical lift: with a tape and a level from the place that "
     "the leaf's outline counts from to each of its corners, span "
     "seated"},
    {"/leaf/toe", "from the axis to the middle of the toe's bearing, along the level"},
    {"/leaf/heel", "from the pivot back to the middle of the other end's bearing, along the level"},
    {"/leaf/wedge", "a kitchen scale under the lighter end in place of its seat, wedges driven"},
    {"/lift/balance wheels", "a tape from the pivot to the track that the balance wheels run on"},
    {"/leaf/seat", "a wish, not a measurement; check it by lifting the unlocked toe off its seat "
                   "with a spring scale, drive unpinned: half the sum of lifting and letting down"},
    {"/leaf/outline", "with a tape and a level from the axis to each corner of all that moves, "
                      "span seated: toward the toe, up"},
    {"/leaf/friction", "drive unpinned, lift the toe slowly with a spring scale and let it down "
                       "slowly: half the difference of the readings times the toe's distance; of a "
                       "vertical lift the half difference itself"},
    {"/leaf/starting friction", "the same spring scale: the reading at which it first moves"},
    {"/leaf/inertia", "none is needed: it is calculated from the masses and their sizes"},
    {"/leaf/ropes/weight", "weigh a known length"},
    {"/leaf/pockets/*/block", "weigh ten and divide"},
    {"/leaf/pockets/*/at", "from the axis to the middle of the pocket, span seated"},
    {"/leaf/slides/*/mass", "weigh it with all that moves along with it"},
    {"/leaf/slides/*/from", "from the axis to its centre, pushed to one end, span seated"},
    {"/leaf/slides/*/to", "from the axis to its centre, pushed to the other end, span seated"},
    {"/leaf/slides/*/at", "a ruler along its rail, from where its centre is at the first end"},
    {"/room", "a plumb line and a tape from any one level: up to the axis, the ceiling, the floor"},
    {"/drive", "the gears from the motor to the rack: teeth, ratios, and the worm's thread"},
    {"/drive/pinion/teeth", "count them"},
    {"/drive/pinion/pitch", "outside diameter by calipers, divided by the teeth and two more: that "
                            "is the module"},
    {"/drive/pinion/face width", "calipers across the rim"},
    {"/leaf/bearings", "calipers: the shaft's diameter, and how long each bearing holds it"},
    {"/leaf/girders",
     "hang a known weight at the toe, drive pinned, the leaf just off its seat, and "
     "measure with a ruler how far the toe goes down"},
    {"/leaf/ropes/diameter", "calipers over the rope, or ten turns side by side by ten"},
    {"/leaf/ropes/breaking", "its seller's data sheet; do not guess it"},
    {"/leaf/ropes/sheave", "calipers in the groove, and one rope's diameter more"},
    {"/tower", "a tape from below the axis to the edges of what it stands on; weigh what is "
               "carried in, or calculate it from its volume: pine 500 kg/m3, concrete 2400"},
    {"/tracks/*/ends/*/grade", "a level and a ruler: how far the rail rises along a metre"},
    {"/tracks/*/trains/mass", "weigh its vehicles one by one on a kitchen scale, and add"},
    {"/scale", "a length of the model and the same of the prototype"},
    {"/drive/gearbox/play",
     "hold the motor, turn the slow shaft back and forth with a pointer on it: the pointer's "
     "travel divided by its length is the angle in radians"},
    {"/drive/worm/play", "hold the worm, turn its wheel back and forth with a pointer on it"},
    {"/drive/rack play", "hold the pinion, push the rack back and forth along a ruler"},
    {"/drive/gearbox/ratio", "mark both shafts, turn the one by hand and count for one turn of the "
                             "other"},
    {"/drive/gearbox/efficiency", "its data sheet; else 90 % for each stage of a good one (common "
                                  "practice, no source)"},
    {"/drive/worm/ratio", "teeth of the wheel divided by the starts of the worm"},
    {"/drive/worm/lead angle", "thread pitch along the worm times its starts, divided by its pitch "
                               "diameter times 3.14: the angle with that tangent"},
    {"/drive/worm/least friction", "hard steel on bronze, oiled: 0.06 at 0.5 m/s of sliding, 0.035 "
                                   "at 2 m/s (Carvill, Mechanical Engineer's Data Handbook, p. "
                                   "100); take the lowest you believe"},
    {"/drive/worm/most friction", "dry or at rest it is higher: take the highest you believe"},
    {"/motor",
     "the data sheet of the motor, or the values of one run free and one held fast: drawtender "
     "measure motor"},
    {"/motor/voltage", "a voltmeter at its terminals while the other values are taken"},
    {"/motor/no-load speed", "a tachometer on the free shaft, or count the slow end of the gearbox "
                             "and multiply"},
    {"/motor/no-load current", "an ammeter in its lead, the shaft free"},
    {"/motor/stall current", "an ohmmeter at its terminals, the least of several places of the "
                             "rotor: voltage divided by that; do not hold a motor fast for longer "
                             "than a second"},
    {"/motor/stall torque", "an arm and a spring scale, for a second; else (voltage - no-load "
                            "current x resistance) / no-load speed in rad/s x (stall current - "
                            "no-load current)"},
    {"/motor/rest torque", "wind a thread round its shaft or a wheel on it, unpowered, and hang "
                           "weights on until it turns: weight times the radius; the least of "
                           "several places of the rotor"},
    {"/supply/voltage", "a voltmeter at the motor's driver while the motor runs"},
    {"/supply/current", "its nameplate, or the fuse after it, whichever is less"},
    {"/tracks/*/trains", "time the fastest train over a measured length; then cut its power and "
                         "measure how far it coasts: speed squared by twice that way"},
    {"/tracks/*/trains/speed", "time the fastest train over a measured length"},
    {"/tracks/*/trains/braking", "from a signal at stop, how far it runs until it stands: speed "
                                 "squared by twice that way"},
    {"/tracks/*/trains/coasting", "cut the power at full speed and measure how far it runs: speed "
                                  "squared by twice that way; flywheels matter"},
    {"/tracks/*/trains/pickup", "from the first to the last wheel that takes current, of whatever "
                                "is coupled by a cable"},
    {"/tracks/*/trains/slowest",
     "time the slowest train over a measured length, as slow as anybody "
     "drives it over the bridge"},
    {"/tracks/*/trains/length", "of the longest train, from end to end"},
    {"/tracks/*/span length", "along the rail, from joint to joint"},
    {"/tracks/*/ends/*/approach length", "along the rail, from where trains are first seen to the "
                                         "home signal"},
    {"/tracks/*/ends/*/stop length",
     "along the rail, from the isolated joint at the home signal to "
     "the gap"},
};

const char *measure_place(size_t index) {
    return index < sizeof advice / sizeof advice[0] ? advice[index].place : NULL;
}

static bool is_number(const char *token, size_t length) {
    return length > 0 && strspn(token, "0123456789") >= length;
}

/* How much of `where` the place covers, whole tokens; 0: it is another place. */
static size_t covered(const char *place, const char *where) {
    const char *at = where;
    while (*place == '/' && *at == '/') {
        size_t wanted = strcspn(place + 1, "/");
        size_t found = strcspn(at + 1, "/");
        bool is_same = wanted == found && strncmp(place + 1, at + 1, found) == 0;
        if (!is_same && !(strncmp(place, "/*", wanted + 1) == 0 && is_number(at + 1, found))) {
            return 0;
        }
        place += 1 + wanted;
        at += 1 + found;
    }
    return *place == '\0' ? (size_t)(at - where) : 0;
}

const char *measure_for(const char *where) {
    static const char bridges[] = "/bridges/*";
    size_t start = covered(bridges, where);
    size_t best = 0;
    const char *words = NULL;
    for (size_t i = 0; start > 0 && i < sizeof advice / sizeof advice[0]; i++) {
        size_t here = covered(advice[i].place, where + start);
        if (here > best) {
            best = here;
            words = advice[i].words;
        }
    }
    return words;
}

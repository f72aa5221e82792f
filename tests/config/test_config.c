/* Whole configurations: what they become, and every way to get one wrong. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char examples[] = SOURCE_DIR "/config";
static const double degree = 3.14159265358979323846 / 180;

/* One reading: too large for the stack. */
static struct config config;
static struct config_report report;

static bool read_example(const char *name) {
    char path[256];
    snprintf(path, sizeof path, "%s/%s.json", examples, name);
    return config_read_file(path, &config, &report);
}

static bool read_tree(const cJSON *tree) {
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    return is_usable;
}

static cJSON *example_tree(const char *name) {
    char path[256];
    snprintf(path, sizeof path, "%s/%s.json", examples, name);
    char *text = config_text_of_file(path);
    cJSON *tree = cJSON_Parse(text);
    assert_non_null(tree);
    free(text);
    return tree;
}

static bool read_patched(const char *name, const char *where, const char *value) {
    cJSON *tree = example_tree(name);
    config_text_patch(tree, where, value);
    bool is_usable = read_tree(tree);
    cJSON_Delete(tree);
    return is_usable;
}

static void assert_near(double value, double expected) {
    if (!(fabs(value - expected) <= 1e-9 * fabs(expected))) {
        fail_msg("%.12g, not %.12g", value, expected);
    }
}

/* --- what is right --- */

/* tools/test-machine is not run with every change: what it runs is held here to today's rules. */
static void machines_of_the_tests_may_be_run(void **state) {
    (void)state;
    static const char *const files[] = {"gate", "lift", "can"};
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        char path[256];
        snprintf(path, sizeof path, SOURCE_DIR "/tests/machine/%s.json", files[i]);
        if (!config_read_file(path, &config, &report)) {
            fail_msg("%s: %s: %s", path, report.errors.complaint[0].where,
                     report.errors.complaint[0].what);
        }
    }
}

static void examples_are_right_and_give_no_warning(void **state) {
    (void)state;
    static const char *const names[] = {"kettle-narrows", "garden-gate",     "harbor-lift",
                                        "mill-swing",     "shed-controller", "tender-stand"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        bool is_usable = read_example(names[i]);
        config_text_print(&report.errors);
        config_text_print(&report.warnings);
        assert_true(is_usable);
        assert_int_equal(report.errors.count, 0);
        assert_int_equal(report.warnings.count, 0);
        assert_null(bridge_setup_fault(&config.net.bridge[0].setup));
    }
}

static void demo_is_the_example_file(void **state) {
    (void)state;
    size_t length;
    const char *demo = config_demo_text(&length);
    char *file = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
    assert_int_equal(length, strlen(file));
    assert_memory_equal(demo, file, length);
    free(file);
    assert_true(config_demo(&config, &report));
    assert_string_equal(config.net.bridge[0].name, "Kettle Narrows");
}

static void fractions_are_of_the_travel(void **state) {
    (void)state;
    assert_true(read_example("kettle-narrows"));
    const struct motion_setup *motion = &config.net.bridge[0].setup.motion;
    assert_near(motion->full_speed_frac_s, 2.2 / 75);
    assert_near(motion->creep_speed_frac_s, 0.7 / 75);
    assert_near(motion->acceleration_frac_s2, 0.8 / 75);
    assert_near(motion->deceleration_frac_s2, 0.8 / 75); /* default: the acceleration */
    assert_near(motion->slow_zone_seat_frac, 5.0 / 75);
    assert_near(motion->slow_zone_open_frac, 3.0 / 75);
    assert_near(config.net.bridge[0].travel, 75);
    assert_string_equal(config.net.bridge[0].travel_unit, "deg");
    assert_true(read_example("harbor-lift"));
    assert_near(config.net.bridge[0].setup.motion.full_speed_frac_s, 15.0 / 450);
    assert_near(config.net.bridge[0].travel, 450);
    assert_string_equal(config.net.bridge[0].travel_unit, "mm");
}

static void mechanics_are_as_written(void **state) {
    (void)state;
    assert_true(read_example("kettle-narrows"));
    const struct config_bridge *bridge = &config.bridge[0];
    assert_true(bridge->has_lift);
    assert_near(bridge->lift.travel, 75 * degree);
    assert_near(bridge->lift.strut.pin.x_m, 0.42);
    assert_near(bridge->drive.pinion_radius_m, 0.00635); /* 16 teeth, 32 DP: 1/2 in across */
    assert_near(drive_ratio(&bridge->drive), 400);
    assert_near(bridge->drive.worm.lead_rad, 1.8 * degree);
    assert_near(bridge->balance.mass_kg, 71);
    /* First moments, by hand: 11 x 1.15 + 16 x 1.1 + 1.5 x 2.27 - 2.5 x 0.1 - 40 x 0.8. */
    assert_near(bridge->balance.sx_kg_m, 1.405);
    assert_near(bridge->balance.sy_kg_m, 1.385);
    assert_near(bridge->motor.resistance_ohm, 12.0 / 41);
    assert_near(bridge->simulation.lift.friction_static, 4.2);
    assert_near(bridge->simulation.lift.supply_v, 12);
    assert_near(bridge->simulation.track[0].stop_m[1], 2);
    assert_string_equal(bridge->simulation.train[0].name, "local freight");
    assert_near((double)bridge->simulation.train[0].start_us, 30e6);
    assert_false(bridge->simulation.train[0].ignores_signals);
}

/* Worked out apart from the code under test: the motor's speed where the strut's arm is least. */
static void worked_out_effort_makes_full_speed_and_no_more(void **state) {
    (void)state;
    assert_true(read_example("kettle-narrows"));
    const struct config_bridge *bridge = &config.bridge[0];
    const struct motion_setup *motion = &config.net.bridge[0].setup.motion;
    double fastest = 0;
    double volts = motion->effort_full * bridge->supply_v;
    for (int i = 0; i <= 75; i++) {
        double position = i * degree;
        double arm = lift_rack_arm(&bridge->lift, position);
        double force = (balance_moment(&bridge->balance, position) + 3.2) / arm;
        double torque = drive_motor_torque_n_m(&bridge->drive, force, bridge->drive.worm.mu_low);
        double speed = motor_speed_rad_s(&bridge->motor, volts, torque) /
                       drive_motor_per_position(&bridge->drive, arm);
        fastest = fmax(fastest, speed);
    }
    assert_true(fastest <= 2.2 * degree * 1.0001);
    assert_true(fastest >= 2.2 * degree * 0.97);
    assert_true(motion->effort_start < motion->effort_full);
    assert_true(motion->effort_push > motion->effort_start);
    /* A stall at creep must be seen, running must not be taken for one. */
    double creep_v = bridge->supply_v * (motion->effort_start +
                                         (motion->effort_full - motion->effort_start) * 0.7 / 2.2);
    assert_true(motion->stall_a < creep_v / bridge->motor.resistance_ohm);
    assert_true(motion->stall_a > 2);
}

static void defaults_are_those_of_the_law_and_of_the_tables(void **state) {
    (void)state;
    assert_true(read_example("garden-gate"));
    const struct bridge_setup *setup = &config.net.bridge[0].setup;
    assert_int_equal(setup->short_blast_us, 1000000);     /* 33 CFR 83.32: about 1 s */
    assert_int_equal(setup->prolonged_blast_us, 5000000); /* 33 CFR 83.32: 4 to 6 s */
    assert_int_equal(setup->clear_us, 5000000);           /* 49 CFR 236.309, from memory */
    assert_int_equal(setup->debounce_us, 20000);
    assert_int_equal(setup->warning_us, 0);
    assert_true(setup->is_hand_lifted);
    assert_false(config.bridge[0].has_lift);
    /* 10 ft = 3.048 m at 0.3 m/s, and 2 s of reserve; to stop takes less. */
    assert_int_equal(setup->track[0].end[0].approach_lock_us, 12160000);
    assert_int_equal(config.net.listeners, 1);
    assert_string_equal(config.net.listener[0].address, "127.0.0.1");
    assert_int_equal(config.net.listener[0].port, 4303);
    assert_int_equal(config.net.listener[0].right, NET_OPERATE);
    assert_int_equal(config.net.sessions_max, 100);
    assert_int_equal(config.net.backlog_bytes, 262144);
    assert_int_equal(config.net.handshake_us, 30000000);
    assert_string_equal(config.bridge[0].output, "simulated");
    assert_true(config.bridge[0].has_simulation);
}

static void addresses_follow_the_default_map(void **state) {
    (void)state;
    assert_true(read_example("harbor-lift"));
    const struct net_address_map *map = &config.net.bridge[0].address;
    assert_int_equal(config.net.bridge[0].bus, 1);
    assert_int_equal(map->device[NET_DEVICE_SPAN], 1);
    assert_int_equal(map->device[NET_DEVICE_RIVER], 4);
    assert_int_equal(map->device[NET_DEVICE_FAULT], 6);
    assert_int_equal(map->fb_contact[NET_CONTACT_SEATED], 11);
    assert_int_equal(map->fb_contact[NET_CONTACT_NEARLY_SEATED], 12);
    assert_int_equal(map->fb_contact[NET_CONTACT_OPEN], 14);
    for (unsigned t = 0; t < 2; t++) {
        assert_int_equal(map->ga_signal[t][0], 11 + 2 * t);
        assert_int_equal(map->ga_signal[t][1], 12 + 2 * t);
        assert_int_equal(map->fb_approach[t][0], 101 + 5 * t);
        assert_int_equal(map->fb_stop[t][0], 102 + 5 * t);
        assert_int_equal(map->fb_span[t], 103 + 5 * t);
        assert_int_equal(map->fb_stop[t][1], 104 + 5 * t);
        assert_int_equal(map->fb_approach[t][1], 105 + 5 * t);
    }
    assert_true(read_example("garden-gate")); /* stop detectors only */
    map = &config.net.bridge[0].address;
    assert_int_equal(map->fb_approach[0][0], 0);
    assert_int_equal(map->fb_stop[0][0], 101);
    assert_int_equal(map->fb_span[0], 0);
    assert_int_equal(map->fb_stop[0][1], 102);
    assert_true(read_example("mill-swing")); /* moved */
    map = &config.net.bridge[0].address;
    assert_int_equal(config.net.bridge[0].bus, 3);
    assert_int_equal(map->device[NET_DEVICE_SPAN], 301);
    assert_int_equal(map->ga_signal[0][0], 11);
    assert_int_equal(map->ga_signal[0][1], 320);
    assert_int_equal(map->device[NET_DEVICE_SEATED], 1);
}

/* --- what is wrong, one at a time --- */

#define B "/bridges/0"
#define T B "/tracks/0"
#define W T "/ends/0"

struct mistake {
    const char *example;
    const char *where; /* what is put wrong ... */
    const char *value; /* ... to this; NULL: taken away */
    const char *complaint_at;
    const char *words;
};

/* A motor controller at a serial line, with these lines. */
#define SERIAL(drive, stop)                                                                        \
    "{\"device\": \"/dev/ttyS0\", \"drive\": \"" drive "\", \"stop\": \"" stop "\"}"
#define STAGE(drive, stop) "{\"kind\": \"serial\", \"serial\": " SERIAL(drive, stop) "}"

static const struct mistake mistakes[] = {
    /* reading */
    {"kettle-narrows", B "/lift/travel", "75", B "/lift/travel", "found the bare number 75"},
    {"kettle-narrows", B "/lift/travel", "\"75\"", B "/lift/travel", "has no unit"},
    {"kettle-narrows", B "/lift/travel", "\"75 kg\"", B "/lift/travel", "is a mass"},
    {"kettle-narrows", B "/lift/travel", "\"75 dge\"", B "/lift/travel", "did you mean \"deg\"?"},
    {"kettle-narrows", B "/lift/travel", "\"-75 deg\"", B "/lift/travel", "below zero"},
    {"kettle-narrows", B "/lift/travel", "\"nan deg\"", B "/lift/travel", "is not a number"},
    {"kettle-narrows", B "/lift/travel", "\"1e999 deg\"", B "/lift/travel", "too large"},
    {"kettle-narrows", B "/lift/travel", NULL, B "/lift/travel", "missing"},
    {"kettle-narrows", B "/motor/no-load speed", NULL, B "/motor/no-load speed",
     "a speed of turning with its unit, from \"10 rpm\" to \"60000 rpm\""},
    {"kettle-narrows", B "/lift/travle", "\"75 deg\"", B "/lift/travle",
     "did you mean \"travel\"?"},
    {"kettle-narrows", B "/lift/colour", "\"red\"", B "/lift/colour", "lift has no key \"colour\""},
    {"kettle-narrows", B "/lift/kind", "\"strutt\"", B "/lift/kind", "did you mean \"strut\"?"},
    {"kettle-narrows", B "/lift/kind", "\"lever\"", B "/lift/kind", "wanted one of \"hand\""},
    {"kettle-narrows", B "/lift/kind", "3", B "/lift/kind", "wanted a word"},
    {"kettle-narrows", B "/lift/strut pin", "[\"1 m\"]", B "/lift/strut pin", "two lengths"},
    {"kettle-narrows", B "/lift/strut pin", "[\"1 m\", 2]", B "/lift/strut pin/1", "bare number 2"},
    {"kettle-narrows", B "/lift/strut pin", "[\"1 m\", \"90 m\"]", B "/lift/strut pin/1",
     "out of range: wanted at least -20 m and at most 20 m"},
    {"kettle-narrows", B "/lift", "[]", B "/lift", "found a list, wanted an object"},
    {"kettle-narrows", B "/lift", NULL, B "/lift", "missing"},
    {"kettle-narrows", B "/tracks", "{}", B "/tracks", "found an object, wanted a list"},
    {"kettle-narrows", B "/tracks", "[]", B "/tracks", "found 0 in the list, wanted 1 to 4"},
    {"kettle-narrows", B "/tracks/0", "true", B "/tracks/0", "found true, wanted an object"},
    {"kettle-narrows", B "/contacts/rails", "2.5", B "/contacts/rails", "whole number from 0 to 4"},
    {"kettle-narrows", B "/contacts/rails", "5", B "/contacts/rails", "whole number from 0 to 4"},
    {"kettle-narrows", B "/contacts/rails", "\"2\"", B "/contacts/rails", "wanted a whole number"},
    {"kettle-narrows", B "/contacts/open", "1", B "/contacts/open", "wanted true or false"},
    {"kettle-narrows", B "/contacts/debounce", "\"2 s\"", B "/contacts/debounce", "at most 500 ms"},
    {"kettle-narrows", B "/name", "\"\"", B "/name", "wanted 1 to 47"},
    {"kettle-narrows", B "/name", "\"two\\nlines\"", B "/name", "control character"},
    {"kettle-narrows", B "/name", "\"a name so long that nobody could read it from a panel\"",
     B "/name", "wanted 1 to 47"},
    {"kettle-narrows", B "/name", "null", B "/name", "found null"},
    {"kettle-narrows", "/bridges", NULL, "/bridges", "missing"},
    {"kettle-narrows", "/bridges", "[]", "/bridges", "found 0 in the list, wanted 1 to 8"},
    /* terminals of this computer */
    {"shed-controller", B "/wired", NULL, B "/wired", "needed by the driver"},
    {"shed-controller", B "/wired/chips/0/every", "\"2 s\"", B "/wired/chips/0/every",
     "at most 1 s"},
    {"shed-controller", B "/wired/inputs/0/input", "\"seatd\"", B "/wired/inputs/0/input",
     "did you mean \"seated\""},
    {"shed-controller", B "/wired/inputs/0/input", "\"position\"", B "/wired/inputs/0/input",
     "is a measure"},
    {"shed-controller", B "/wired/inputs/0/input", "\"locked\"", B "/wired/inputs/1/input",
     "assigned twice"},
    {"shed-controller", B "/wired/inputs/0", NULL, B "/wired",
     "the input \"seated\" is not assigned"},
    {"shed-controller", B "/wired/inputs/0/pin/line", "6", B "/wired/inputs/1/pin/line",
     "wired to something else"},
    {"shed-controller", B "/wired/inputs/0/pin/chip", "\"heeder\"", B "/wired/inputs/0/pin/chip",
     "did you mean \"header\""},
    {"shed-controller", B "/wired/inputs/0/pin/pull", "\"down\"", B "/wired/inputs/0/pin/pull",
     "broken wire would read as made"},
    {"shed-controller", B "/wired/inputs/0/pin/active", "\"high\"", B "/wired/inputs/0/pin/pull",
     "broken wire would read as made"},
    {"shed-controller", B "/wired/outputs/0/output", "\"lift\"", B "/wired/outputs/0/output",
     "needs a \"power stage\""},
    {"shed-controller", B "/wired/outputs/0/output", "\"main.east.signal\"",
     B "/wired/outputs/1/output", "assigned twice"},
    {"shed-controller", B "/wired/outputs/0/when", "\"green\"", B "/wired/outputs/0/when",
     "no such state"},
    {"shed-controller", B "/wired/outputs/0/output", "\"lock\"", B "/wired/outputs/0/when",
     "no such state"},
    {"shed-controller", B "/wired/outputs/4", NULL, B "/wired",
     "the output \"main.span-power\" is not assigned"},
    {"shed-controller", B "/wired/power stage", NULL, B "/wired", "the output \"lift\""},
    {"shed-controller", B "/wired/power stage/lower pwm", NULL, B "/wired/power stage/lower pwm",
     "needed by this kind"},
    {"shed-controller", B "/wired/power stage",
     "{\"kind\": \"phase\", \"pwm\": {\"chip\": \"/p\"}}", B "/wired/power stage/direction",
     "needed by this kind"},
    {"shed-controller", B "/wired/power stage", "{\"kind\": \"serial\"}",
     B "/wired/power stage/serial", "needed by this kind"},
    {"shed-controller", B "/wired/power stage/raise", "{\"line\": 14}",
     B "/wired/power stage/raise", "does not apply"},
    {"shed-controller", B "/wired/power stage/serial", SERIAL("G{effort}", "S"),
     B "/wired/power stage/serial", "does not apply"},
    {"shed-controller", B "/wired/power stage",
     "{\"kind\": \"pulse\", \"pwm\": {\"chip\": \"/p\"}, \"lower pwm\": {\"chip\": \"/q\"}}",
     B "/wired/power stage/lower pwm", "does not apply"},
    {"shed-controller", B "/wired/power stage",
     "{\"kind\": \"pulse\", \"pwm\": {\"chip\": \"/p\", \"period\": \"1900 us\"}}",
     B "/wired/power stage/pwm/period", "pulse of 2 ms is longer than the period, 1.9 ms"},
    {"shed-controller", B "/wired/lock servo/pwm/chip", "\"servo\"", B "/wired/lock servo/pwm/chip",
     "\"servo\" is not a folder's whole path"},
    {"shed-controller", B "/tracks/0/trains/length", "\"1 cm\"", B "/tracks/0/trains/length",
     "0.01 m is shorter than its \"pickup\" of"},
    {"shed-controller", B "/wired/power stage/lower pwm/channel", "0",
     B "/wired/power stage/lower pwm/channel", "already drives something else"},
    {"shed-controller", B "/wired/lock servo/pwm/chip", "\"/sys/class/pwm/pwmchip0\"",
     B "/wired/lock servo/pwm/channel", "already drives something else"},
    {"shed-controller", B "/wired/lock servo/pwm/period", "\"1 ms\"",
     B "/wired/lock servo/pwm/period", "longer than the period"},
    {"shed-controller", B "/wired/lock servo/driven", "\"1.1 ms\"", B "/wired/lock servo/withdrawn",
     "must differ"},
    {"shed-controller", B "/wired/power stage", STAGE("G{efort}", "S"),
     B "/wired/power stage/serial/drive", "found the placeholder \"{efort}\""},
    {"shed-controller", B "/wired/power stage", STAGE("G{effort}", "{0x100}"),
     B "/wired/power stage/serial/stop", "found the place"},
    {"shed-controller", B "/wired/power stage", STAGE("G{size}", "S"),
     B "/wired/power stage/serial/drive", "the same line for up and down"},
    {"shed-controller", B "/wired/power stage", STAGE("{direction}{size}", "F1000"),
     B "/wired/power stage/serial/stop", "drives the motor"},
    {"shed-controller", B "/wired/power stage", STAGE("{direction}{size}", "R1000"),
     B "/wired/power stage/serial/stop", "drives the motor"},
    {"shed-controller", B "/wired/position/b", "{\"line\": 14}", B "/wired/position/b",
     "only an encoder"},
    {"shed-controller", B "/wired/power stage/neutral", "\"3 ms\"", B "/wired/power stage/neutral",
     "at most 2.5 ms"},
    {"shed-controller", B "/wired/lock servo", NULL, B "/wired", "the output \"lock\""},
    {"shed-controller", B "/wired/position/at open", "\"350 mV\"", B "/wired/position",
     "must differ"},
    {"shed-controller", B "/wired/position/least", "\"400 mV\"", B "/wired/position",
     "must lie between"},
    {"shed-controller", B "/wired/position/channel", NULL, B "/wired/position", "a \"channel\""},
    {"shed-controller", B "/wired/position/kind", "\"encoder\"", B "/wired/position",
     "an encoder needs"},
    {"shed-controller", B "/wired/position", NULL, B "/wired", "the input \"position\""},
    {"shed-controller", B "/wired/current/zero", "\"1 A\"", B "/wired/current/one ampere",
     "must differ"},
    {"shed-controller", B "/sensors/current", "false", B "/wired/current", "does not say"},
    {"shed-controller", B "/lock/driven", "false", B "/wired/lock servo", "not driven"},
    {"shed-controller", B "/output", "\"simulated\"", B "/output", "there are terminals for it"},
    /* server */
    {"kettle-narrows", "/server/listeners/0/address", "\"localhost\"",
     "/server/listeners/0/address", "wanted a numeric address"},
    {"harbor-lift", "/server/listeners/1/address", "\"127.0.0.1\"", "/server/listeners/1",
     "listener 0 already has this address and port"},
    {"kettle-narrows", "/server/listeners/0/from", "\"192.168.7.12/24\"",
     "/server/listeners/0/from", "zeros beyond the bits"},
    {"kettle-narrows", "/server/listeners/0/from", "\"fd00::/8 10.0.0.0/33\"",
     "/server/listeners/0/from", "cannot read \"10.0.0.0/33\""},
    {"kettle-narrows", "/server/listeners/0/from", "\"10.0.0.0/+8\"", "/server/listeners/0/from",
     "wanted one such as"},
    {"kettle-narrows", "/server/listeners/0/from", "\"garden\"", "/server/listeners/0/from",
     "cannot read \"garden\""},
    {"kettle-narrows", "/server/listeners/0/from",
     "\"::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1 ::1\"",
     "/server/listeners/0/from", "more than 16"},
    {"kettle-narrows", "/server/listeners/0/arrivals", "0", "/server/listeners/0/arrivals",
     "whole number from 1"},
    {"kettle-narrows", "/server/listeners/0/port", "65536", "/server/listeners/0/port", "65535"},
    {"kettle-narrows", "/server/listeners/0/may", "\"admin\"", "/server/listeners/0/may",
     "wanted one of \"observe\", \"operate\", \"administer\""},
    /* lift, leaf, drive, motor */
    {"kettle-narrows", B "/lift/travel", "\"75 mm\"", B "/lift/travel", "travels through an angle"},
    {"harbor-lift", B "/lift/travel", "\"75 deg\"", B "/lift/travel", "travels through a length"},
    {"kettle-narrows", B "/lift/travel", "\"0 deg\"", B "/lift/travel", "out of range"},
    {"kettle-narrows", B "/lift/travel", "\"200 deg\"", B "/lift/travel", "out of range"},
    {"kettle-narrows", B "/lift/travel", "\"115 deg\"", B "/lift", "dead centre"},
    {"kettle-narrows", B "/lift/strut pin", NULL, B "/lift/strut pin", "\"strut\" needs it"},
    {"kettle-narrows", B "/lift/drum", "\"60 mm\"", B "/lift/drum", "not apply"},
    {"mill-swing", B "/lift/radius", NULL, B "/lift/radius", "\"swing\" needs it"},
    {"harbor-lift", B "/lift/drum", NULL, B "/lift/drum", "\"vertical\" needs it"},
    {"kettle-narrows", B "/leaf", NULL, B "/leaf", "a powered lift needs it"},
    {"kettle-narrows", B "/drive", NULL, B "/drive", "a powered lift needs it"},
    {"kettle-narrows", B "/motor", NULL, B "/motor", "a powered lift needs it"},
    {"kettle-narrows", B "/supply", NULL, B "/supply", "a powered lift needs it"},
    {"kettle-narrows", B "/drive/pinion", NULL, B "/drive/pinion", "\"strut\" needs it"},
    {"kettle-narrows", B "/leaf/masses/2/mass", "\"0 kg\"", B "/leaf/masses/2/mass",
     "must be above zero"},
    {"kettle-narrows", B "/leaf/counterweight/mass", "\"0 kg\"", B "/leaf/counterweight/mass",
     "leave it out"},
    {"kettle-narrows", B "/leaf/friction", "\"3 N\"", B "/leaf/friction", "is a force"},
    {"kettle-narrows", B "/leaf/starting friction", "\"1 N m\"", B "/leaf/starting friction",
     "less than the running friction"},
    {"kettle-narrows", B "/drive/worm/most friction", "0.01", B "/drive",
     "lowest friction must not exceed its highest"},
    {"kettle-narrows", B "/drive/gearbox/efficiency", "\"120 %\"", B "/drive/gearbox/efficiency",
     "at most 100 %"},
    {"kettle-narrows", B "/motor/stall current", "\"0.5 A\"", B "/motor",
     "stall current must be above the no-load current"},
    /* motion */
    {"kettle-narrows", B "/motion/full speed", "\"20 mm/s\"", B "/motion/full speed",
     "is a speed, but this lift travels through an angle"},
    {"kettle-narrows", B "/motion/full speed", "\"0 deg/s\"", B "/motion/full speed", "above zero"},
    {"kettle-narrows", B "/motion/full speed", "\"8 deg/s\"", B "/motion/full speed",
     "but the supply gives 12 V"},
    {"kettle-narrows", B "/motion/creep speed", "\"2.5 deg/s\"", B "/motion",
     "creep speed must not exceed full speed"},
    {"kettle-narrows", B "/motion/slow zone at seat", "\"74 deg\"", B "/motion", "slow zones"},
    {"kettle-narrows", B "/motion/full effort", "\"1 %\"", B "/motion/full effort", "from rest"},
    {"kettle-narrows", B "/motion/stall current", "\"1.2 A\"", B "/motion/stall current",
     "the motor needs to move the span"},
    {"kettle-narrows", B "/motion/drift", "\"0 deg\"", B "/motion", "drift"},
    {"garden-gate", B "/motion", "{}", B "/motion", "not apply"},
    /* contacts and lock */
    {"kettle-narrows", B "/contacts/seated", "false", B "/contacts/seated", "needed"},
    {"garden-gate", B "/contacts/seated", NULL, B "/contacts/seated", "needed"},
    {"garden-gate", B "/contacts", "{\"seated\": true, \"open\": true, \"withdrawn\": true}",
     B "/contacts/locked", "a bar worked by hand is never proved locked (S1)"},
    {"harbor-lift", B "/contacts/open", NULL, B "/contacts/open", "position sensor"},
    {"garden-gate", B "/lock", "{\"driven\": true}", B "/lock/driven", "no lock drive"},
    {"garden-gate", B "/contacts", "{\"seated\": true}", B "/contacts/rails",
     "not guarded: seated contact that sticks made (S5): add rail contacts"},
    {"garden-gate", B "/sensors", "{\"position\": true}", B "/sensors/position", "by hand"},
    {"garden-gate", B "/sensors", "{\"current\": true}", B "/sensors/current", "no motor"},
    /* tracks */
    {"kettle-narrows", W "/stop detector", NULL, W "/stop detector",
     "not guarded: stop section main west clear before a signal shows proceed (S1): add a "
     "detector; "
     "or home signals that are not automatic"},
    {"harbor-lift", B "/tracks/1/span detector", NULL, B "/tracks/1/span detector",
     "not guarded: span section down clear"},
    {"kettle-narrows", W "/stop length", "\"1 m\"", W "/stop length", "takes 1.55 m to stop"},
    {"garden-gate", W "/stop length", NULL, W "/stop length", "missing"},
    {"garden-gate", W "/approach length", "\"50 cm\"", W "/approach length",
     "takes 0.525 m to stop"},
    {"kettle-narrows", W "/approach lock", "\"2 s\"", W "/approach lock", "takes 2.6 s"},
    {"kettle-narrows", W "/approach lock", "\"0 s\"", W "/approach lock", "at least 100 ms"},
    {"garden-gate", W "/name", "\"pond\"", B "/tracks/0/ends/1/name", "the other end"},
    {"harbor-lift", B "/tracks/0/name", "\"down\"", B "/tracks/1/name",
     "already the name of track 0"},
    {"kettle-narrows", T "/unwatched", "\"never\"", T "/unwatched", "found \"never\""},
    {"kettle-narrows", T "/run out", "\"2 h\"", T "/run out", "at most 1 h"},
    {"kettle-narrows", T "/trains/slowest", "\"0.5 m/s\"", T "/trains/slowest",
     "0.5 m/s is faster than the fastest, 0.4 m/s"},
    {"kettle-narrows", T "/trains/length", "\"0 m\"", T "/trains/length", "at least 1 cm"},
    {"garden-gate", T "/unwatched", "\"time\"", T "/run out", "missing"},
    {"garden-gate", T "/run out", "\"1 h\"", T "/run out",
     "3600 s is too long: an opening may wait 3603 s for trains, and the clearing limit is 3600 s"},
    /* addresses */
    {"kettle-narrows", B "/addresses", "{\"lock\": 1}", B "/addresses/lock",
     "address 1 is already taken: /addresses/span"},
    {"kettle-narrows", B "/addresses", "{\"fault\": 102}", W "/stop address",
     "address 102 is already taken"},
    {"kettle-narrows", W "/signal address", "3", W "/signal address", "already taken"},
    /* simulation */
    {"kettle-narrows", B "/simulation/trains/0/from", "\"wset\"", B "/simulation/trains/0/from",
     "did you mean \"west\"?"},
    {"kettle-narrows", B "/simulation/trains/0/track", "\"branch\"", B "/simulation/trains/0/track",
     "no track \"branch\""},
    {"kettle-narrows", B "/simulation/trains/0/pickup", "\"3 m\"", B "/simulation/trains/0/pickup",
     "longer than the train"},
    {"kettle-narrows", B "/simulation/trains/0/starts before signal", "\"7 m\"",
     B "/simulation/trains/0/starts before signal", "beyond the 6 m"},
    {"kettle-narrows", B "/tracks/0/span length", NULL, B "/simulation/trains/0/track",
     "need lengths"},
    {"kettle-narrows", B "/simulation/end stop", "\"70 deg\"", B "/simulation/end stop",
     "beyond the whole travel"},
    {"kettle-narrows", B "/simulation/end stop", "\"120 deg\"", B "/simulation/end stop",
     "no longer has a lever arm"},
    {"kettle-narrows", B "/simulation/hand speed", "\"1 m/s\"", B "/simulation/hand speed",
     "travels through an angle"},
};

static void every_mistake_is_found_and_said_where_it_is(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof mistakes / sizeof mistakes[0]; i++) {
        const struct mistake *m = &mistakes[i];
        bool is_usable = read_patched(m->example, m->where, m->value);
        if (is_usable || !config_text_has(&report.errors, m->complaint_at, m->words)) {
            config_text_print(&report.errors);
            fail_msg("%s %s %s: no \"%s\" at %s", m->example, m->where,
                     m->value == NULL ? "(gone)" : m->value, m->words, m->complaint_at);
        }
        /* One mistake is one complaint; a misspelt key that is not needed leaves none missing. */
        if (report.errors.count != 1) {
            config_text_print(&report.errors);
            fail_msg("%s %s: %lu complaints", m->example, m->where,
                     (unsigned long)report.errors.count);
        }
    }
}

static const struct mistake doubtful[] = {
    {"shed-controller", B "/wired/heartbeat", NULL, B "/wired/heartbeat", "notices that it hangs"},
    {"shed-controller", B "/wired/lock servo/pwm",
     "{\"chip\": \"/sys/class/pwm/pwmchip0\", \"channel\": 2}", B "/wired/lock servo/pwm/period",
     "20 ms here and 0.05 ms at channel 0"},
    {"shed-controller", B "/wired/power stage/lower pwm/period", "\"1 ms\"",
     B "/wired/power stage/lower pwm/period", "1 ms here and 0.05 ms at channel 0"},
    {"shed-controller", B "/wired/position/at seat", "\"0 V\"", B "/wired/position/least",
     "0 V counts as a reading"},
    {"kettle-narrows", B "/supply/voltage", "\"36 V\"", B "/supply/voltage", "24 V"},
    {"kettle-narrows", B "/supply/current", "\"12 A\"", B "/supply/current", "NEM 609"},
    {"kettle-narrows", B "/supply/current", "\"2 A\"", B "/motion/stall current",
     "a stall would not be seen"},
    {"kettle-narrows", B "/leaf/counterweight/mass", "\"42 kg\"", B "/leaf", "the toe would rise"},
    {"kettle-narrows", B "/drive",
     "{\"pinion\": {\"teeth\": 16, \"pitch\": \"32 DP\"}, \"worm\": "
     "{\"ratio\": \"300:1\", \"lead angle\": \"30 deg\"}}",
     B "/drive/worm/lead angle", "a worm of 4 starts or more and a wheel of 1040 teeth"},
    {"kettle-narrows", B "/motor/stall torque", "\"0.2 N m\"", B "/motor", "contradicts itself"},
    {"kettle-narrows", "/server/listeners/0/address", "\"0.0.0.0\"", "/server/listeners/0/address",
     "a network you trust, and limit its clients: \"from\", \"sessions\", \"arrivals\", "
     "\"lines\""},
    {"garden-gate", B "/contacts/open", "false", B "/contacts/open", "never known to be open"},
    {"kettle-narrows", B "/contacts/locked", NULL, B "/contacts/locked",
     "the seated span needs a request to lower"},
    {"kettle-narrows", B "/contacts/withdrawn", NULL, B "/contacts/withdrawn",
     "put out for its whole \"limit\""},
    {"garden-gate", B "/contacts/locked", NULL, B "/lock", "counts as locked while it is seated"},
    {"mill-swing", T "/span detector", "false", T, "a person to report"},
    {"mill-swing", W "/stop detector", "false", T, "not every section has a detector"},
    {"kettle-narrows", B "/contacts/rails", "0", B "/contacts/rails", "if only a little"},
    {"harbor-lift", B "/contacts",
     "{\"seated\": true, \"locked\": true, \"withdrawn\": true, \"open\": true}",
     B "/contacts/rails", "even wide open"},
};

static void what_is_doubtful_is_a_warning(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof doubtful / sizeof doubtful[0]; i++) {
        const struct mistake *m = &doubtful[i];
        bool is_usable = read_patched(m->example, m->where, m->value);
        config_text_print(&report.errors);
        assert_true(is_usable);
        if (report.warnings.count != 1 ||
            !config_text_has(&report.warnings, m->complaint_at, m->words)) {
            config_text_print(&report.warnings);
            fail_msg("no \"%s\" at %s", m->words, m->complaint_at);
        }
    }
}

/* The Kettle Narrows with these listeners. */
static bool read_listener(const char *listener) {
    char text[1024];
    snprintf(text, sizeof text, "[%s]", listener);
    return read_patched("kettle-narrows", "/server/listeners", text);
}

static void listeners_are_read(void **state) {
    (void)state;
    static const unsigned char network[16] = {[10] = 0xff, 0xff, 192, 168, 7};
    assert_true(read_listener("{\"address\": \"0.0.0.0\", \"may\": \"observe\", \"sessions\": 9,"
                              "\"from\": \" 192.168.7.0/24  fd00::/8 10.0.0.1\","
                              "\"arrivals\": 8, \"lines\": 7}"));
    const struct net_listener_setup *listener = &config.net.listener[0];
    assert_int_equal(report.warnings.count, 0); /* all limits are given */
    assert_int_equal(listener->networks, 3);
    assert_memory_equal(listener->network[0].address, network, sizeof network);
    assert_int_equal(listener->network[0].bits, 96 + 24);
    assert_int_equal(listener->network[1].address[0], 0xfd);
    assert_int_equal(listener->network[1].bits, 8);
    assert_int_equal(listener->network[2].bits, 128);
    assert_int_equal(listener->sessions_max, 9);
    assert_int_equal(listener->arrivals_a_second, 8);
    assert_int_equal(listener->lines_a_second, 7);

    assert_true(read_listener("{\"address\": \"0.0.0.0\", \"may\": \"observe\"}"));
    assert_true(
        config_text_has(&report.warnings, "/server/listeners/0/address", "limit its clients"));
    assert_true(read_listener("{\"address\": \"/run/drawtender/socket\"}"));
    assert_int_equal(report.warnings.count, 0);
    assert_int_equal(config.net.listener[0].networks, 0);
    assert_int_equal(config.net.listener[0].sessions_max, 0);
    assert_false(read_listener("{\"address\": \"/run/drawtender\", \"from\": \"10.0.0.1\"}"));
    assert_false(read_listener("{\"address\": \"/run/drawtender\", \"port\": 1},"
                               "{\"address\": \"/run/drawtender\", \"port\": 2}"));
}

static void limits_themselves_give_no_warning(void **state) {
    (void)state;
    assert_true(read_patched("kettle-narrows", B "/supply/voltage", "\"24 V\""));
    assert_int_equal(report.warnings.count, 0);
    assert_true(read_patched("kettle-narrows", B "/supply/current", "\"10 A\""));
    assert_int_equal(report.warnings.count, 0);
    assert_true(read_patched("kettle-narrows", W "/stop length", "\"1.551 m\""));
}

/* --- many at once --- */

static void throttle_sets_the_speed_unless_it_is_to_set_the_voltage(void **state) {
    (void)state;
    assert_true(read_patched("kettle-narrows", B "/motion/throttle sets", "\"voltage\""));
    assert_true(config.bridge[0].is_throttle_voltage);
    assert_near(config.net.bridge[0].supply_v, 12);
    assert_true(read_patched("kettle-narrows", B "/motion/throttle sets", NULL));
    assert_false(config.bridge[0].is_throttle_voltage);
    assert_true(read_example("garden-gate"));
    assert_true(config.net.bridge[0].supply_v == 0); /* lifted by hand */
}

static void all_mistakes_are_said_in_one_run(void **state) {
    (void)state;
    static const struct mistake all[] = {
        {"", "/sever", "{}", "/sever", "did you mean \"server\"?"},
        {"", B "/lift/travel", "75", B "/lift/travel", "bare number"},
        {"", B "/motor/voltage", NULL, B "/motor/voltage", "missing"},
        {"", B "/contacts/seated", NULL, B "/contacts/seated", "(S1)"},
        {"", B "/contacts/rails", "9", B "/contacts/rails", "0 to 4"},
        {"", W "/stop length", "\"1 m\"", W "/stop length", "too short"},
        {"", B "/tracks/0/ends/1/automatic", "7", B "/tracks/0/ends/1/automatic", "bare number 7"},
        {"", B "/addresses", "{\"horn\": 4}", B "/addresses/river", "already taken"},
        {"", B "/simulation/trains/0/from", "\"wset\"", B "/simulation/trains/0/from", "west"},
    };
    const size_t count = sizeof all / sizeof all[0];
    cJSON *tree = example_tree("kettle-narrows");
    for (size_t i = 0; i < count; i++) {
        config_text_patch(tree, all[i].where, all[i].value);
    }
    assert_false(read_tree(tree));
    cJSON_Delete(tree);
    for (size_t i = 0; i < count; i++) {
        if (!config_text_has(&report.errors, all[i].complaint_at, all[i].words)) {
            config_text_print(&report.errors);
            fail_msg("no \"%s\" at %s", all[i].words, all[i].complaint_at);
        }
    }
    assert_int_equal(report.errors.count, count);
}

static void bridges_are_unique_by_name_and_bus(void **state) {
    (void)state;
    cJSON *tree = example_tree("kettle-narrows");
    cJSON *bridges = cJSON_GetObjectItem(tree, "bridges");
    cJSON_AddItemToArray(bridges, cJSON_Duplicate(bridges->child, true));
    assert_false(read_tree(tree));
    assert_true(config_text_has(&report.errors, "/bridges/1/name", "already the name of bridge 0"));
    assert_true(config_text_has(&report.errors, "/bridges/1/bus", "already that of bridge 0"));
    config_text_patch(tree, "/bridges/1/name", "\"Other Narrows\"");
    config_text_patch(tree, "/bridges/1/bus", NULL); /* its place in the list: 2 */
    assert_true(read_tree(tree));
    assert_int_equal(config.net.bridges, 2);
    assert_int_equal(config.net.bridge[1].bus, 2);
    cJSON_Delete(tree);
}

static void potentiometer_is_not_believed_near_nought(void **state) {
    (void)state;
    assert_true(read_patched("shed-controller", B "/wired/position/at seat", "\"350 mV\""));
    assert_near(config.bridge[0].wired.position.least, 0.175); /* half of it */
    assert_near(config.bridge[0].wired.position.most, 3.155);  /* a tenth of the range above */
    assert_true(read_patched("shed-controller", B "/wired/position/at seat", "\"1 V\""));
    assert_near(config.bridge[0].wired.position.least, 0.81); /* a tenth of the range below */
}

static void bridges_do_not_share_terminals(void **state) {
    (void)state;
    cJSON *tree = example_tree("shed-controller");
    cJSON *bridges = cJSON_GetObjectItem(tree, "bridges");
    cJSON_AddItemToArray(bridges, cJSON_Duplicate(bridges->child, true));
    config_text_patch(tree, "/bridges/1/name", "\"Other Narrows\"");
    config_text_patch(tree, "/bridges/1/bus", NULL);
    assert_false(read_tree(tree));
    assert_int_equal(report.errors.count, 7);
    for (unsigned i = 0; i < 3; i++) {
        char output[48];
        snprintf(output, sizeof output, "/bridges/1/scenes/outputs/%u", i);
        assert_true(config_text_has(&report.errors, output, "another scene output"));
    }
    config_text_patch(tree, "/bridges/1/scenes", NULL);
    assert_true(
        config_text_has(&report.errors, "/bridges/1/wired",
                        "line 5 of \"/dev/gpiochip0\" is already wired to the bridge \"Kettle"));
    assert_true(config_text_has(&report.errors, "/bridges/1/wired/power stage/pwm/channel",
                                "something else"));
    assert_true(config_text_has(&report.errors, "/bridges/1/wired/power stage/lower pwm/channel",
                                "something else"));
    assert_true(config_text_has(&report.errors, "/bridges/1/wired/lock servo/pwm/channel",
                                "something else"));

    config_text_patch(tree, "/bridges/1/wired/chips/0/device", "\"other header\"");
    config_text_patch(tree, "/bridges/1/wired/chips/1/device", "\"other expander\"");
    config_text_patch(tree, "/bridges/1/wired/lock servo/pwm/channel", "1"); /* of a scene, too */
    assert_false(read_tree(tree));
    assert_true(config_text_has(&report.errors, "/bridges/0/scenes/outputs/2",
                                "belongs to the bridge \"Other Narrows\""));
    config_text_patch(tree, "/bridges/0/scenes", NULL);
    config_text_patch(tree, "/bridges/1/wired/power stage", STAGE("G{effort}", "S"));
    assert_true(read_tree(tree));
    config_text_patch(tree, "/bridges/0/wired/power stage", STAGE("G{effort}", "S"));
    assert_false(read_tree(tree));
    assert_int_equal(report.errors.count, 1);
    assert_true(config_text_has(&report.errors, "/bridges/1/wired/power stage/serial/device",
                                "something else"));
    cJSON_Delete(tree);
}

static void twice_given_keys_are_mistakes(void **state) {
    (void)state;
    static const char text[] = "{\"bridges\": [], \"bridges\": []}";
    assert_false(config_read_text(text, strlen(text), &config, &report));
    assert_true(config_text_has(&report.errors, "/bridges", "given twice"));
}

static void trains_of_one_name_are_a_mistake(void **state) {
    (void)state;
    cJSON *tree = example_tree("kettle-narrows");
    cJSON *trains = cJSON_GetObjectItem(
        cJSON_GetObjectItem(cJSON_GetObjectItem(tree, "bridges")->child, "simulation"), "trains");
    cJSON_AddItemToArray(trains, cJSON_Duplicate(trains->child, true));
    /* The run-time command knows no difference between space and hyphen. */
    config_text_patch(tree, B "/simulation/trains/1/name", "\"local-freight\"");
    assert_false(read_tree(tree));
    assert_true(config_text_has(&report.errors, B "/simulation/trains/1/name",
                                "already the name of train 0"));
    cJSON_Delete(tree);
}

static void keys_are_escaped_and_made_printable_in_pointers(void **state) {
    (void)state;
    static const char text[] = "{\"a/b~c\\u001b\": 1, \"bridges\": []}";
    assert_false(config_read_text(text, strlen(text), &config, &report));
    assert_true(config_text_has(&report.errors, "/a~1b~0c?", "has no key")); /* RFC 6901, 3 */
}

static void list_of_complaints_is_bounded(void **state) {
    (void)state;
    cJSON *tree = cJSON_CreateObject();
    char key[400];
    memset(key, 'k', sizeof key - 1);
    key[sizeof key - 1] = '\0';
    for (unsigned i = 0; i < 500; i++) {
        cJSON_AddNullToObject(tree, key);
    }
    assert_false(read_tree(tree));
    assert_int_equal(report.errors.count, 501); /* the bridges are missing, too */
    assert_int_equal(config_list_kept(&report.errors), CONFIG_COMPLAINTS_MAX);
    cJSON_Delete(tree);
}

static void after_a_mistake_nothing_is_left_to_be_used(void **state) {
    (void)state;
    static const struct config nothing;
    assert_false(read_patched("kettle-narrows", B "/lift/travel", "\"75\""));
    assert_memory_equal(&config, &nothing, sizeof nothing);
    assert_false(read_patched("kettle-narrows", B "/motor/stall torque", "\"75 deg\""));
    assert_memory_equal(&config, &nothing, sizeof nothing);
}

/* A motor or supply that is not described leaves the rest to be calculated, and says what has no
 * sums; of lift, leaf and drive all sums are made. */
static void missing_motor_leaves_the_rest(void **state) {
    (void)state;
    static const struct {
        const char *place;
        unsigned missing; /* 0: nothing can be calculated */
    } cases[] = {{B "/lift", 0},
                 {B "/lift/kind", 0},
                 {B "/lift/travel", 0},
                 {B "/leaf", 0},
                 {B "/drive", 0},
                 {B "/drive/pinion/teeth", 0},
                 {B "/motor", SIZING_MOTOR},
                 {B "/motor/stall torque", SIZING_MOTOR},
                 {B "/supply", SIZING_SUPPLY}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_false(read_patched("kettle-narrows", cases[i].place, NULL));
        if (report.missing == 0 || report.errors.count != report.missing) {
            config_text_print(&report.errors);
            fail_msg("%s: more is wrong than that something is missing", cases[i].place);
        }
        assert_int_equal(config.net.bridges, cases[i].missing != 0);
        assert_false(config.bridge[0].has_lift);
        assert_int_equal(config.bridge[0].sizing.missing, cases[i].missing);
    }
}

/* --- files --- */

static void syntax_is_said_with_line_and_column(void **state) {
    (void)state;
    static const char text[] = "{\n  \"bridges\": [,]\n}";
    assert_false(config_read_text(text, strlen(text), &config, &report));
    assert_int_equal(report.errors.count, 1);
    assert_string_equal(report.errors.complaint[0].where, "line 2, column 15");
}

static void files_that_cannot_be_read_are_said_so(void **state) {
    (void)state;
    assert_false(config_read_file("/no/such/file.json", &config, &report));
    assert_true(config_text_has(&report.errors, "/no/such/file.json", "No such file"));
    assert_false(config_read_file(examples, &config, &report));
    assert_true(config_text_has(&report.errors, examples, "directory"));
}

static void long_files_are_refused(void **state) {
    (void)state;
    char path[] = BINARY_DIR "/long-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    assert_int_equal(ftruncate(file, 3 * 1024 * 1024), 0);
    close(file);
    bool is_usable = config_read_file(path, &config, &report);
    unlink(path);
    assert_false(is_usable);
    assert_true(config_text_has(&report.errors, "", "more than 1 MiB"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_are_right_and_give_no_warning),
        cmocka_unit_test(machines_of_the_tests_may_be_run),
        cmocka_unit_test(demo_is_the_example_file),
        cmocka_unit_test(fractions_are_of_the_travel),
        cmocka_unit_test(mechanics_are_as_written),
        cmocka_unit_test(worked_out_effort_makes_full_speed_and_no_more),
        cmocka_unit_test(defaults_are_those_of_the_law_and_of_the_tables),
        cmocka_unit_test(addresses_follow_the_default_map),
        cmocka_unit_test(every_mistake_is_found_and_said_where_it_is),
        cmocka_unit_test(what_is_doubtful_is_a_warning),
        cmocka_unit_test(listeners_are_read),
        cmocka_unit_test(limits_themselves_give_no_warning),
        cmocka_unit_test(throttle_sets_the_speed_unless_it_is_to_set_the_voltage),
        cmocka_unit_test(all_mistakes_are_said_in_one_run),
        cmocka_unit_test(bridges_are_unique_by_name_and_bus),
        cmocka_unit_test(potentiometer_is_not_believed_near_nought),
        cmocka_unit_test(bridges_do_not_share_terminals),
        cmocka_unit_test(twice_given_keys_are_mistakes),
        cmocka_unit_test(trains_of_one_name_are_a_mistake),
        cmocka_unit_test(keys_are_escaped_and_made_printable_in_pointers),
        cmocka_unit_test(list_of_complaints_is_bounded),
        cmocka_unit_test(after_a_mistake_nothing_is_left_to_be_used),
        cmocka_unit_test(missing_motor_leaves_the_rest),
        cmocka_unit_test(syntax_is_said_with_line_and_column),
        cmocka_unit_test(files_that_cannot_be_read_are_said_so),
        cmocka_unit_test(long_files_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What the configuration says of sound. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>

static struct config config;
static struct config_report report;

static bool reads(const char *sound) {
    return config_text_read_with("kettle-narrows.json", "/bridges/0/sound", sound, &config,
                                 &report);
}

static const struct sound_setup *sound_of(void) {
    return &config.bridge[0].sound;
}

/* For --sound: the voices are there, but nothing is played. */
static void nothing_is_heard_unless_asked_for(void **state) {
    (void)state;
    assert_true(reads(NULL));
    assert_false(sound_of()->is_there);
    assert_int_equal(sound_of()->voices, 4);
    assert_float_equal(sound_of()->volume, 0.7, 1e-9);
}

static void voices_have_defaults_by_their_kind(void **state) {
    (void)state;
    assert_true(reads("{}"));
    assert_true(sound_of()->is_there);
    assert_string_equal(sound_of()->device, "default");
    static const enum sound_kind kinds[] = {SOUND_HORN, SOUND_MOTOR, SOUND_GEARS, SOUND_SEATING};
    for (unsigned i = 0; i < 4; i++) {
        assert_int_equal(sound_of()->voice[i].kind, kinds[i]);
    }
    const struct sound_voice *horn = &sound_of()->voice[0], *seating = &sound_of()->voice[3];
    assert_int_equal(horn->when.all, 1U << CONDITION_HORN);
    assert_int_equal(horn->when.none, 0);
    assert_false(horn->is_once);
    assert_int_equal(horn->fade_out_us, 80000);
    assert_true(seating->is_once);
    assert_float_equal(sound_of()->voice[1].rest_pitch, 0.4, 1e-9);
}

static void all_is_as_written(void **state) {
    (void)state;
    assert_true(reads("{\"device\": \"hw:1\", \"opening\": \"PsPs\", \"volume\": \"30 %\", "
                      "\"voices\": [{\"sound\": "
                      "\"gulls\", \"file\": \"/srv/gulls.ogg\", \"when\": \"open , not fault,not "
                      "train\", \"plays\": \"once\", \"volume\": \"20 %\", \"pitch at rest\": \"80 "
                      "%\", \"fade in\": \"1 s\", \"fade out\": \"2 s\"}]}"));
    const struct sound_voice *voice = &sound_of()->voice[0];
    assert_string_equal(sound_of()->device, "hw:1");
    assert_string_equal(sound_of()->blasts[HORN_OPENING], "PsPs");
    assert_string_equal(sound_of()->blasts[HORN_CLOSING], "");
    assert_int_equal(sound_of()->prolonged_us, 5000000); /* of "warning" */
    assert_int_equal(sound_of()->short_us, 1000000);
    assert_int_equal(sound_of()->gap_us, 1000000);
    assert_float_equal(sound_of()->volume, 0.3, 1e-9);
    assert_int_equal(sound_of()->voices, 1);
    assert_int_equal(voice->kind, SOUND_GULLS);
    assert_string_equal(voice->file, "/srv/gulls.ogg");
    assert_int_equal(voice->when.all, 1U << CONDITION_OPEN);
    assert_int_equal(voice->when.none, 1U << CONDITION_FAULT | 1U << CONDITION_TRAIN);
    assert_true(voice->is_once);
    assert_false(voice->is_looped); /* what is heard once ends */
    assert_float_equal(voice->volume, 0.2, 1e-9);
    assert_float_equal(voice->rest_pitch, 0.8, 1e-9);
    assert_int_equal(voice->fade_in_us, 1000000);
    assert_int_equal(voice->fade_out_us, 2000000);
}

static void mistakes_are_named(void **state) {
    (void)state;
    static const char *const cases[][3] = {
        {"{\"closing\": \"sxs\"}", "/closing", "wanted blasts such as \"Ps\""},
        {"{\"voices\": [{}]}", "/voices/0/sound", "missing"},
        {"{\"voices\": [{\"sound\": \"hron\"}]}", "/voices/0/sound", "horn"},
        {"{\"voices\": [{\"sound\": \"horn\", \"when\": \"rising\"}]}", "/voices/0/when",
         "there is no condition \"rising\" (did you mean \"raising\"?)"},
        {"{\"voices\": [{\"sound\": \"horn\", \"when\": \"open, xyzzy\"}]}", "/voices/0/when",
         "there is no condition \"xyzzy\""},
        {"{\"voices\": [{\"sound\": \"horn\", \"when\": \"open,, moving\"}]}", "/voices/0/when",
         "there is no condition \"\""},
        {"{\"voices\": [{\"sound\": \"horn\", \"when\": \"open, not open\"}]}", "/voices/0/when",
         "can never hold"},
        {"{\"voices\": [{\"sound\": \"horn\", \"file\": \"horn.wav\"}]}", "/voices/0/file",
         "whole path"},
        {"{\"voices\": [{\"sound\": \"horn\", \"volume\": \"130 %\"}]}", "/voices/0/volume",
         "100 %"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char where[128];
        snprintf(where, sizeof where, "/bridges/0/sound%s", cases[i][1]);
        assert_false(reads(cases[i][0]));
        if (!config_text_has(&report.errors, where, cases[i][2])) {
            config_text_print(&report.errors);
            fail_msg("%s: no \"%s\" at %s", cases[i][0], cases[i][2], where);
        }
    }
}

static const char only_sound[] = "the warning before a movement is this sound alone, and nothing "
                                 "proves that it was heard";

static void warning_that_is_sound_alone_is_doubted(void **state) {
    (void)state;
    static const char horn[] = "/bridges/0/wired/outputs/5"; /* of shed-controller.json */
    static const char file[] = "shed-controller.json";
    assert_true(config_text_read_with(file, "/bridges/0/sound", "{}", &config, &report));
    assert_false(config_text_has(&report.warnings, "/bridges/0/sound", only_sound));
    assert_true(config_text_read_with(file, horn, NULL, &config, &report));
    assert_true(config_text_has(&report.warnings, "/bridges/0/sound", only_sound));
}

static void simulated_horn_is_not_doubted(void **state) {
    (void)state;
    assert_true(reads("{}"));
    assert_false(config_text_has(&report.warnings, "/bridges/0/sound", only_sound));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_heard_unless_asked_for),
        cmocka_unit_test(voices_have_defaults_by_their_kind),
        cmocka_unit_test(all_is_as_written),
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(warning_that_is_sound_alone_is_doubted),
        cmocka_unit_test(simulated_horn_is_not_doubted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

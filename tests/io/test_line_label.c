#include "io/line_label.h"
#include "support/check.h"

static void label_names_the_line_and_the_way(void **state) {
    (void)state;
    static const struct {
        unsigned line;
        enum line_when when;
        const char *label;
    } cases[] = {
        {LINE_LIFT, LINE_WHEN_RAISE, "lift, raise"},
        {LINE_LIFT, LINE_WHEN_LOWER, "lift, lower"},
        {LINE_LOCK, LINE_WHEN_DRIVEN, "lock, drive"},
        {LINE_LOCK, LINE_WHEN_WITHDRAWN, "lock, withdraw"},
        {LINE_RIVER, LINE_WHEN_RED, "river, red"},
        {LINE_RIVER, LINE_WHEN_FLASHING, "river, flashing"},
        {LINE_RIVER, LINE_WHEN_GREEN, "river, green"},
        {LINE_BRAKE, LINE_WHEN_ON, "brake"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        static const struct line_track tracks[BRIDGE_TRACKS_MAX];
        char label[LINE_LABEL_SIZE];
        line_label(tracks, cases[i].line, cases[i].when, label);
        assert_string_equal(label, cases[i].label);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(label_names_the_line_and_the_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

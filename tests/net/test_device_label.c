/* What each device is called on the wire. The words are our own. */
#include "net/devices/devices.h"
#include "support/check.h"
#include "support/net/net_host.h"

#include <stdio.h>
#include <string.h>

static void assert_label(const struct net_bridge_setup *bridge, unsigned address,
                         const char *wanted) {
    struct device list[DEVICES_MAX];
    size_t count = devices_list(bridge, list);
    for (size_t i = 0; i < count; i++) {
        if (list[i].address == address) {
            char label[DEVICE_LABEL_SIZE];
            device_label(&list[i], bridge, label);
            assert_string_equal(label, wanted);
            return;
        }
    }
    fail_msg("no device at %u", address);
}

static void a_label_follows_its_device_to_another_address(void **state) {
    (void)state;
    static struct net_setup setup;
    fake_setup(&setup, 1);
    setup.bridge[0].address.device[NET_DEVICE_SPAN] = 41;
    assert_label(&setup.bridge[0], 41, "span");
}

static void names_of_several_words_are_one_word_in_a_label(void **state) {
    (void)state;
    static struct net_setup setup;
    fake_setup(&setup, 1);
    struct net_bridge_setup *bridge = &setup.bridge[0];
    snprintf(bridge->track_name[0], NET_NAME_SIZE, "harbor branch");
    snprintf(bridge->end_name[0][1], NET_NAME_SIZE, "far  end");
    bridge->address.fb_span[0] = 77;
    assert_label(bridge, bridge->address.ga_signal[0][1], "signal harbor-branch far--end");
    assert_label(bridge, 77, "span harbor-branch");
}

static void the_longest_names_fit(void **state) {
    (void)state;
    static struct net_setup setup;
    fake_setup(&setup, 1);
    struct net_bridge_setup *bridge = &setup.bridge[0];
    memset(bridge->track_name[0], 't', NET_NAME_SIZE - 1);
    memset(bridge->end_name[0][0], 'e', NET_NAME_SIZE - 1);
    char wanted[DEVICE_LABEL_SIZE];
    snprintf(wanted, sizeof wanted, "approach %s %s", bridge->track_name[0],
             bridge->end_name[0][0]);
    assert_int_equal(strlen(wanted), 9 + 2 * (NET_NAME_SIZE - 1) + 1);
    assert_label(bridge, bridge->address.fb_approach[0][0], wanted);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_label_follows_its_device_to_another_address),
        cmocka_unit_test(names_of_several_words_are_one_word_in_a_label),
        cmocka_unit_test(the_longest_names_fit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

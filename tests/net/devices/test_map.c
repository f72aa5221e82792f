/* The device map of protocol/README.md has every device of a bridge. */
#include "net/devices/devices.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *readme;

static int read_readme(void **state) {
    (void)state;
    readme = config_text_of_file(SOURCE_DIR "/protocol/README.md");
    return 0;
}

static int free_readme(void **state) {
    (void)state;
    free(readme);
    return 0;
}

/* "| GA 3, horn |", "| FB 1 to 6 |", "| FB 11 and up |": whether the row is for this device. */
static bool is_row_of(const char *row, const char *group, unsigned address) {
    char found[3];
    unsigned first;
    unsigned last;
    int count = sscanf(row, "| %2[A-Z] %u to %u", found, &first, &last);
    bool is_group = count >= 2 && strcmp(found, group) == 0;
    return is_group && (count == 3 ? address >= first && address <= last : address == first);
}

static void assert_told(const char *group, unsigned address, const char *words) {
    const char *at = strstr(readme, "## A bridge's devices");
    const char *end = at != NULL ? strstr(at + 1, "\n## ") : NULL;
    assert_non_null(end);
    while ((at = strstr(at, "\n| ")) != NULL && at < end) {
        at++;
        const char *found = strstr(at, words);
        if (is_row_of(at, group, address) && found != NULL && found < at + strcspn(at, "\n")) {
            return;
        }
    }
    fail_msg("%s %u, \"%s\", is missing in the table of \"A bridge's devices\" in "
             "protocol/README.md",
             group, address, words);
}

static void the_map_has_every_device_at_its_address(void **state) {
    (void)state;
#define X(id, group, address, name, help) assert_told(#group, address, name);
    NET_DEVICE_LIST(X)
#undef X
}

/* "contact nearly-seated" is told as "nearly seated", "contact rail-1" as one of the rails. */
static void the_map_has_every_contact(void **state) {
    (void)state;
    static struct net_bridge_setup bridge;
    struct device list[DEVICES_MAX];
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        bridge.address.fb_contact[i] = i + 1;
    }
    assert_int_equal(devices_list(&bridge, list), NET_CONTACTS);
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        char label[DEVICE_LABEL_SIZE];
        device_label(&list[i], &bridge, label);
        char *word = strchr(label, ' ') + 1;
        word[strcspn(word, "123456789")] = '\0';
        for (char *at = word; (at = strchr(at, '-')) != NULL;) {
            *at = at[1] != '\0' ? ' ' : '\0';
        }
        assert_told("FB", 11, word);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_map_has_every_device_at_its_address),
        cmocka_unit_test(the_map_has_every_contact),
    };
    return cmocka_run_group_tests(tests, read_readme, free_readme);
}

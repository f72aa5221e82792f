/* Configuration Description Information S, 14 Jun 2025. */
#include "protocol/lcc/node/cdi.h"
#include "support/check.h"
#include "support/lcc/lcc_node_stage.h"

#include <string.h>

static struct lcc_node_stage stage;

static int setup(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, 2);
    return 0;
}

static unsigned count(const char *text, const char *words) {
    unsigned found = 0;
    for (text = strstr(text, words); text != NULL; text = strstr(text + 1, words)) {
        found++;
    }
    return found;
}

static void a_description_begins_as_the_standard_says(void **state) {
    (void)state;
    static const char begins[] =
        "<?xml version=\"1.0\"?>\n"
        "<cdi xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" "
        "xsi:noNamespaceSchemaLocation=\"https://openlcb.org/schema/cdi/1/4/cdi.xsd\">\n"
        "<identification>\n<manufacturer>Dr</manufacturer>\n";
    assert_memory_equal(stage.setup.cdi, begins, sizeof begins - 1);
    const char *acdi = strstr(stage.setup.cdi, "<acdi/>");
    assert_non_null(acdi);
    assert_true(acdi - stage.setup.cdi < 832 - 5);
    assert_string_equal(stage.setup.cdi + stage.setup.cdi_bytes - 8, "</cdi>\n");
}

/* Addresses just add up: each event has its 8 bytes, and the order is that of the memory. */
static void every_event_has_a_name_and_its_place(void **state) {
    (void)state;
    assert_int_equal(count(stage.setup.cdi, "<eventid>"), lcc_events_count(&stage.setup));
    assert_int_equal(count(stage.setup.cdi, "</eventid>"), lcc_events_count(&stage.setup));
    const char *at = stage.setup.cdi;
    static const char *const names[] = {"<name>fact 0<",         "<name>not fact 0<",
                                        "<name>fact 1<",         "<name>not fact 1<",
                                        "<name>want &lt;0&gt;<", "<name>want &lt;3&gt;<"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        at = strstr(at, names[i]);
        assert_non_null(at);
    }
}

static void text_of_people_is_escaped_and_ascii(void **state) {
    (void)state;
    static char text[65536];
    stage.setup.fact[0].words[1] = "a & b < c > d \"\xC3\xA4\" \t";
    size_t size = lcc_cdi_write(&stage.setup, text, sizeof text);
    assert_non_null(strstr(text, "<name>a &amp; b &lt; c &gt; d \"?\" ?</name>"));
    for (size_t i = 0; i + 1 < size; i++) {
        assert_true(text[i] == '\n' || (text[i] >= ' ' && text[i] <= '~'));
    }
}

static void what_has_no_room_is_cut_and_told(void **state) {
    (void)state;
    char text[101];
    memset(text, 'x', sizeof text);
    size_t size = lcc_cdi_write(&stage.setup, text, 100);
    assert_int_equal(size, stage.setup.cdi_bytes);
    assert_int_equal(strlen(text), 99);
    assert_int_equal(text[100], 'x');
    assert_int_equal(lcc_cdi_write(&stage.setup, NULL, 0), size);
}

static void a_node_takes_less_than_64_kib(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, LCC_FACTS_MAX);
    assert_true(sizeof stage.node + sizeof stage.setup + stage.setup.cdi_bytes < 64 * 1024);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_description_begins_as_the_standard_says, setup),
        cmocka_unit_test_setup(every_event_has_a_name_and_its_place, setup),
        cmocka_unit_test_setup(text_of_people_is_escaped_and_ascii, setup),
        cmocka_unit_test_setup(what_has_no_room_is_cut_and_told, setup),
        cmocka_unit_test(a_node_takes_less_than_64_kib),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

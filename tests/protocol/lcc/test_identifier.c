#include "protocol/lcc/identifier.h"
#include "support/check.h"

static void ids_are_read_and_written(void **state) {
    (void)state;
    uint64_t id = 0;
    assert_true(lcc_identifier_read("0A.44.52.00.00.01", LCC_NODE_BYTES, &id));
    assert_true(id == 0x0A4452000001);
    assert_true(lcc_identifier_read("01.00.00.00.00.00.ff.fd", LCC_EVENT_BYTES, &id));
    assert_true(id == 0x010000000000FFFD);
    char text[LCC_EVENT_TEXT];
    lcc_identifier_write(id, LCC_EVENT_BYTES, text);
    assert_string_equal(text, "01.00.00.00.00.00.FF.FD");
}

static void nothing_else_is_read(void **state) {
    (void)state;
    static const char *const wrong[] = {"",
                                        "0",
                                        "0A.44.52.00.00",
                                        "0A.44.52.00.00.",
                                        "0A.44.52.00.00.1",
                                        "0A.44.52.00.00.01.",
                                        "0A.44.52.00.00.01.00",
                                        "0A.44.52.00.00.01 ",
                                        " 0A.44.52.00.00.01",
                                        "0A:44:52:00:00:01",
                                        "0A.44.52.00.00.0G",
                                        "A.44.52.00.00.01",
                                        "0A44.52.00.00.01",
                                        "0x0A.44.52.00.00.01"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        uint64_t id = 7;
        assert_false(lcc_identifier_read(wrong[i], LCC_NODE_BYTES, &id));
        assert_true(id == 7);
    }
}

/* Unique Identifiers S, 14 Jun 2025: at least one bit set; the first byte 00 or FF never. */
static void some_node_ids_are_nobodys(void **state) {
    (void)state;
    assert_true(lcc_node_id_is_allowed(0x0A4452000001));
    assert_true(lcc_node_id_is_allowed(0x050101010000));
    assert_false(lcc_node_id_is_allowed(0));
    assert_false(lcc_node_id_is_allowed(0x004452000001));
    assert_false(lcc_node_id_is_allowed(0xFF4452000001));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ids_are_read_and_written),
        cmocka_unit_test(nothing_else_is_read),
        cmocka_unit_test(some_node_ids_are_nobodys),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

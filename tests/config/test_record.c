/* What the configuration says of the record. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <string.h>

static struct config config;
static struct config_report report;

static bool read_with(const char *record) {
    return config_text_read_with("garden-gate.json", "/record", record, &config, &report);
}

static void none_is_kept_unless_asked_for(void **state) {
    (void)state;
    assert_true(read_with(NULL));
    assert_string_equal(config.record.file, "");
}

static void limits_have_defaults(void **state) {
    (void)state;
    assert_true(read_with("{\"file\": \"a.db\"}"));
    assert_string_equal(config.record.file, "a.db");
    assert_true(config.record.keep_us == UINT64_C(7776000000000)); /* 90 days */
    assert_int_equal(config.record.most_bytes, 200 << 20);
    assert_int_equal(config.record.write_us, 400000);
    assert_int_equal(config.record.service_openings, 0);
    assert_int_equal(config.record.service_us, 0);
}

static void all_is_as_written(void **state) {
    (void)state;
    assert_true(read_with("{\"file\": \"a.db\", \"keep\": \"1 day\", \"most\": \"2 MiB\","
                          " \"service openings\": 500, \"service time\": \"20 h\","
                          " \"write every\": \"1 min\"}"));
    assert_int_equal(config.record.write_us, 60000000);
    assert_true(config.record.keep_us == UINT64_C(86400000000));
    assert_int_equal(config.record.most_bytes, 2 << 20);
    assert_int_equal(config.record.service_openings, 500);
    assert_true(config.record.service_us == UINT64_C(72000000000));
}

static void mistakes_are_named(void **state) {
    (void)state;
    static const char *const cases[][3] = {
        {"{}", "/record/file", "missing"},
        {"{\"file\": \"\"}", "/record/file", "0 bytes"},
        {"{\"file\": \"a.db\", \"keep\": \"90\"}", "/record/keep", "unit"},
        {"{\"file\": \"a.db\", \"keep\": \"1 s\"}", "/record/keep", "1 h"},
        {"{\"file\": \"a.db\", \"most\": \"1 B\"}", "/record/most", "1 MiB"},
        {"{\"file\": \"a.db\", \"service openings\": 0}", "/record/service openings", "1"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_false(read_with(cases[i][0]));
        if (!config_text_has(&report.errors, cases[i][1], cases[i][2])) {
            config_text_print(&report.errors);
            fail_msg("no complaint of %s with \"%s\"", cases[i][1], cases[i][2]);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(none_is_kept_unless_asked_for),
        cmocka_unit_test(limits_have_defaults),
        cmocka_unit_test(all_is_as_written),
        cmocka_unit_test(mistakes_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "protocol/code.h"
#include "support/check.h"

#include <string.h>

/* Codes and texts: from memory of SRCP 0.8.4, all of them; see protocol/README.md. */
static void every_code_has_its_text(void **state) {
    (void)state;
    static const struct {
        int code;
        const char *text;
    } cases[] = {
        {100, "INFO"},
        {101, "INFO"},
        {102, "INFO"},
        {200, "OK"},
        {201, "OK PROTOCOL SRCP"},
        {202, "OK CONNECTIONMODE"},
        {400, "ERROR unsupported protocol"},
        {401, "ERROR unsupported connection mode"},
        {402, "ERROR insufficient data"},
        {410, "ERROR unknown command"},
        {411, "ERROR unknown value"},
        {412, "ERROR wrong value"},
        {413, "ERROR temporarily prohibited"},
        {414, "ERROR device locked"},
        {415, "ERROR forbidden"},
        {416, "ERROR no data"},
        {417, "ERROR timeout"},
        {418, "ERROR list too long"},
        {419, "ERROR list too short"},
        {420, "ERROR unsupported device protocol"},
        {421, "ERROR unsupported device"},
        {422, "ERROR unsupported device group"},
        {423, "ERROR unsupported operation"},
        {424, "ERROR device reinitialized"},
        {425, "ERROR not supported"},
        {499, "ERROR unspecified error"},
        {500, "ERROR out of resources"},
    };
    size_t found = 0;
    for (int code = -1; code < 1000; code++) {
        const char *text = srcp_code_text((enum srcp_code)code);
        const char *wanted = NULL;
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
            wanted = cases[i].code == code ? cases[i].text : wanted;
        }
        assert_true((text == NULL) == (wanted == NULL));
        if (text != NULL) {
            assert_string_equal(text, wanted);
            found++;
        }
    }
    assert_int_equal(found, sizeof cases / sizeof cases[0]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_code_has_its_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "base/who.h"
#include "support/check.h"

static void everybody_has_a_number_and_a_word(void **state) {
    (void)state;
    static const struct {
        int32_t who;
        const char *words;
    } cases[] = {{0, ""},
                 {1, "session 1"},
                 {INT32_MAX, "session 2147483647"},
                 {-1, "panel 1"},
                 {WHO_VISITOR_LEAST, "panel 1000000000"},
                 {WHO_VISITOR_LEAST - 1, "LCC 1"},
                 {INT32_MIN + 1, "LCC 1147483647"},
                 {WHO_STAND, "stand"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char words[WHO_WORDS_SIZE];
        who_words(cases[i].who, words);
        assert_string_equal(words, cases[i].words);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(everybody_has_a_number_and_a_word)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Names as words of the protocol. The letters for blanks and strangers are our own. */
#include "base/text/word.h"
#include "support/check.h"

static void assert_word(const char *name, size_t size, const char *wanted) {
    char word[16] = "untouched here.";
    word_of_name(name, word, size);
    assert_string_equal(word, wanted);
}

static void a_name_becomes_one_printable_word(void **state) {
    (void)state;
    assert_word("main", 16, "main");
    assert_word("far  end", 16, "far--end");
    assert_word("", 16, "");
    assert_word("a\tb\x7f", 16, "a?b?");
    assert_word("h\xc3\xb6rn", 16, "h??rn"); /* UTF-8, a letter of two bytes */
    assert_word("!~", 16, "!~");             /* the first and the last that are printed */
}

static void what_does_not_fit_is_cut(void **state) {
    (void)state;
    assert_word("harbor", 7, "harbor");
    assert_word("harbor", 6, "harbo");
    assert_word("harbor", 1, "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_name_becomes_one_printable_word),
        cmocka_unit_test(what_does_not_fit_is_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Texts as macros of man(7): that nothing of them is taken for a macro or a hyphen is checked by
 * what groff_char(7) and man(7) say of escapes, from memory. */
#include "support/check.h"
#include "tools/manual/form.h"
#include "tools/manual/roff.h"

#include <stdlib.h>
#include <string.h>

static char *made;
static size_t size;
static FILE *out;

static void begin(void) {
    out = open_memstream(&made, &size);
    assert_non_null(out);
}

static void ends_as(const char *text) {
    assert_int_equal(fclose(out), 0);
    assert_string_equal(made, text);
    free(made);
}

static void what_roff_would_take_for_its_own_stands_as_it_is(void **state) {
    (void)state;
    static const struct {
        const char *text, *roff;
    } cases[] = {
        {"a \\ b", "a \\e b\n"},
        {".TP is no macro here", "\\&.TP is no macro here\n"},
        {"'tis", "\\&'tis\n"},
        {"use --limit or -1", "use \\-\\-limit or \\-1\n"},
        {"emergency-stop", "emergency-stop\n"},
        {"/run/a-b", "/run/a\\-b\n"},
        {"75\xc2\xb0", "75\\[u00B0]\n"},
        {"`pause 2-3` and on", "\\fBpause 2\\-3\\fR and on\n"},
        {"One. Two", "One.\nTwo\n"},
        {"  a\n  b ", "a b\n"},
        {"", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin();
        roff_text(out, cases[i].text);
        ends_as(cases[i].roff);
    }
}

static void long_text_is_broken_between_words(void **state) {
    (void)state;
    begin();
    for (int i = 0; i < 3; i++) {
        roff_text(out, "the span rises the span rises the span rises the span rises the span rises "
                       "the span rises the span rises");
    }
    assert_int_equal(fclose(out), 0);
    for (const char *line = made; line[0] != '\0'; line += strcspn(line, "\n") + 1) {
        assert_true(strcspn(line, "\n") < 80);
    }
    free(made);
}

static void placeholders_are_italic_and_the_rest_bold(void **state) {
    (void)state;
    begin();
    roff_item(out, "--log error|debug");
    roff_item(out, "wait FB ADDRESS [VALUE]");
    roff_item(out, "send LINE...");
    ends_as(".TP\n\\fB\\-\\-log\\fR \\fBerror\\fR|\\fBdebug\\fR\n"
            ".TP\n\\fBwait\\fR \\fBFB\\fR \\fIADDRESS\\fR [\\fIVALUE\\fR]\n"
            ".TP\n\\fBsend\\fR \\fILINE\\fR...\n");
}

static void a_form_is_taken_apart_into_what_is_typed_and_what_is_filled_in(void **state) {
    (void)state;
    static const struct form_token wanted[] = {
        {"FB", false, false}, {"ADDRESS", true, false}, {"VALUE", true, true}};
    const char *form = "FB ADDRESS [VALUE...]";
    struct form_token token;
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_true(form_next(&form, &token));
        assert_string_equal(token.text, wanted[i].text);
        assert_int_equal(token.is_placeholder, wanted[i].is_placeholder);
        assert_int_equal(token.repeats, wanted[i].repeats);
    }
    assert_false(form_next(&form, &token));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_roff_would_take_for_its_own_stands_as_it_is),
        cmocka_unit_test(long_text_is_broken_between_words),
        cmocka_unit_test(placeholders_are_italic_and_the_rest_bold),
        cmocka_unit_test(a_form_is_taken_apart_into_what_is_typed_and_what_is_filled_in),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

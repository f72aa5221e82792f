#include "protocol/line.h"
#include "support/check.h"
#include "support/net/protocol_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What a reader told, in words: "[SET 1]", "bad", "long", one after the other. */
struct told {
    char words[8192];
    size_t length;
};

static void tell(struct told *told, const char *before, struct srcp_text text, const char *after) {
    const int n =
        snprintf(told->words + told->length, sizeof told->words - told->length, "%s%.*s%s", before,
                 (int)text.length, text.length > 0 ? text.at : "", after);
    assert_true(n >= 0 && told->length + (size_t)n < sizeof told->words);
    told->length += (size_t)n;
}

/* Feeds one chunk, held on the heap only while the reader may look at it. */
static void feed(struct srcp_line_reader *reader, const char *bytes, size_t length,
                 struct told *told) {
    const struct srcp_text copy = protocol_text_copy(bytes, length);
    struct srcp_text chunk = copy;
    struct srcp_text line = {NULL, 0};
    enum srcp_line_kind kind;
    while ((kind = srcp_line_next(reader, &chunk, &line)) != SRCP_LINE_NONE) {
        switch (kind) {
        case SRCP_LINE_NONE:
            break;
        case SRCP_LINE_TEXT:
            tell(told, "[", line, "]");
            break;
        case SRCP_LINE_BAD:
            tell(told, "bad ", (struct srcp_text){NULL, 0}, "");
            break;
        case SRCP_LINE_TOO_LONG:
            tell(told, "long ", (struct srcp_text){NULL, 0}, "");
            break;
        }
    }
    assert_int_equal(chunk.length, 0);
    free((void *)copy.at);
}

static void assert_told(const struct told *told, const char *wanted, size_t cut) {
    if (strcmp(told->words, wanted) != 0) {
        fail_msg("cut at %zu: \"%s\", wanted \"%s\"", cut, told->words, wanted);
    }
}

/* The same bytes whole, cut in two at every offset, and byte by byte. */
static void check_at_every_cut(const char *bytes, size_t length, const char *wanted) {
    for (size_t cut = 0; cut <= length; cut++) {
        struct srcp_line_reader reader = {.length = 0};
        struct told told = {.length = 0};
        feed(&reader, bytes, cut, &told);
        feed(&reader, bytes + cut, length - cut, &told);
        assert_told(&told, wanted, cut);
    }
    struct srcp_line_reader reader = {.length = 0};
    struct told told = {.length = 0};
    for (size_t i = 0; i < length; i++) {
        feed(&reader, bytes + i, 1, &told);
    }
    assert_told(&told, wanted, length);
}

static void lines_are_the_same_however_the_stream_is_cut(void **state) {
    (void)state;
    static const struct {
        const char *bytes;
        size_t length;
        const char *wanted;
    } cases[] = {
#define CASE(bytes, wanted) {bytes, sizeof bytes - 1, wanted}
        CASE("", ""),
        CASE("\n", ""),
        CASE("\r\n", ""),
        CASE(" \t \r\n\n\t\n", ""),
        CASE("GO\n", "[GO]"),
        CASE("GO\r\n", "[GO]"),
        CASE("GO", ""), /* not ended, not told */
        CASE("GO\r", ""),
        CASE("SET 1 GA 1 0 1 -1\nGET 1 GA 1 0\n", "[SET 1 GA 1 0 1 -1][GET 1 GA 1 0]"),
        CASE(" \tGO \t\r\n", "[GO]"),
        CASE("a\t b\n", "[a\t b]"),
        CASE("a\rb\n", "bad "),
        CASE("a\r\r\n", "bad "),
        CASE("\r\r\n", "bad "),
        CASE("a\0b\n", "bad "),
        CASE("\0\n", "bad "),
        CASE("\0", ""),
        CASE("a\x7f\nb\n", "bad [b]"),
        CASE("caf\xc3\xa9\nGO\n", "bad [GO]"),
        CASE("\x1b[A\n\n\xff\n~!\n", "bad bad [~!]"),
#undef CASE
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        check_at_every_cut(cases[i].bytes, cases[i].length, cases[i].wanted);
    }
}

static void every_byte_but_printable_ascii_and_tab_makes_a_bad_line(void **state) {
    (void)state;
    for (int byte = 0; byte < 256; byte++) {
        if (byte == '\n') {
            continue;
        }
        const char bytes[] = {'a', (char)byte, 'b', '\n'};
        char wanted[8];
        if ((byte >= 32 && byte <= 126) || byte == '\t') {
            snprintf(wanted, sizeof wanted, "[a%cb]", byte);
        } else {
            snprintf(wanted, sizeof wanted, "bad ");
        }
        check_at_every_cut(bytes, sizeof bytes, wanted);
    }
}

/* 1000 characters with the line end: from memory. */
static void a_line_has_at_most_1000_characters_with_its_end(void **state) {
    (void)state;
    static const struct {
        size_t characters; /* before the end */
        const char *end;
        bool is_taken;
    } cases[] = {
        {998, "\n", true},   {999, "\n", true},   {1000, "\n", false},
        {997, "\r\n", true}, {998, "\r\n", true}, {999, "\r\n", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char bytes[1100];
        char wanted[1100];
        memset(bytes, 'x', cases[i].characters);
        const size_t length = cases[i].characters + (size_t)snprintf(bytes + cases[i].characters,
                                                                     10, "%sGO\n", cases[i].end);
        if (cases[i].is_taken) {
            snprintf(wanted, sizeof wanted, "[%.*s][GO]", (int)cases[i].characters, bytes);
        } else {
            snprintf(wanted, sizeof wanted, "long [GO]");
        }
        check_at_every_cut(bytes, length, wanted);
    }
}

static void a_far_too_long_line_is_told_once_and_the_next_line_lives(void **state) {
    (void)state;
    static char bytes[10004];
    memset(bytes, 'x', 10000);
    memcpy(bytes + 10000, "\nGO\n", 4);
    check_at_every_cut(bytes, sizeof bytes, "long [GO]");
    bytes[5000] = '\0'; /* too long goes before bad */
    check_at_every_cut(bytes, sizeof bytes, "long [GO]");
}

static void a_line_that_never_ends_is_dropped(void **state) {
    (void)state;
    static char bytes[4096];
    memset(bytes, 'x', sizeof bytes);
    struct srcp_line_reader reader = {.length = 0};
    struct told told = {.length = 0};
    for (unsigned i = 0; i < 1000; i++) {
        feed(&reader, bytes, sizeof bytes, &told);
    }
    assert_told(&told, "", 0);
    feed(&reader, "\nGO\n", 4, &told);
    assert_told(&told, "long [GO]", 0);
}

static void the_caller_may_stop_between_lines(void **state) {
    (void)state;
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_text chunk = srcp_text_of("WAIT 1 FB 1 1 30\nGO\nGE");
    struct srcp_text line;
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_TEXT);
    protocol_assert_text(line, "WAIT 1 FB 1 1 30", "first");
    protocol_assert_text(chunk, "GO\nGE", "not looked at yet");
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_TEXT);
    protocol_assert_text(line, "GO", "second");
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_NONE);
    chunk = srcp_text_of("T\n");
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_TEXT);
    protocol_assert_text(line, "GET", "third");
}

static void a_whole_line_is_not_copied(void **state) {
    (void)state;
    const char *bytes = " GO\n";
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_text chunk = srcp_text_of(bytes);
    struct srcp_text line;
    assert_int_equal(srcp_line_next(&reader, &chunk, &line), SRCP_LINE_TEXT);
    assert_ptr_equal(line.at, bytes + 1);
}

/* A reader that looked at the whole chunk for every line would not finish within the time that a
 * test has. */
static void a_chunk_of_a_million_lines_takes_one_pass(void **state) {
    (void)state;
    const size_t lines = 2000000;
    char *bytes = malloc(2 * lines);
    assert_non_null(bytes);
    for (size_t i = 0; i < lines; i++) {
        bytes[2 * i] = 'x';
        bytes[2 * i + 1] = '\n';
    }
    struct srcp_line_reader reader = {.length = 0};
    struct srcp_text chunk = {bytes, 2 * lines};
    struct srcp_text line;
    size_t found = 0;
    while (srcp_line_next(&reader, &chunk, &line) == SRCP_LINE_TEXT) {
        found++;
    }
    assert_int_equal(found, lines);
    free(bytes);
}

static void random_streams_are_the_same_however_they_are_cut(void **state) {
    (void)state;
    static const char alphabet[] = {'a', 'Z', '9', ' ', '\t', '\r', '\n', '\n', '\0', '\xff'};
    uint32_t seed = 20260101;
    for (unsigned round = 0; round < 2000; round++) {
        char bytes[3000];
        /* Some rounds are one long line of few letters, to pass the limit. */
        const uint32_t letters = round % 4 == 0 ? 3 : sizeof alphabet;
        const size_t length = protocol_random(&seed) % sizeof bytes;
        for (size_t i = 0; i < length; i++) {
            bytes[i] = alphabet[protocol_random(&seed) % letters];
        }
        if (letters == 3 && length > 0) {
            bytes[protocol_random(&seed) % length] = '\n';
        }
        struct srcp_line_reader whole = {.length = 0};
        struct told whole_told = {.length = 0};
        feed(&whole, bytes, length, &whole_told);
        struct srcp_line_reader pieces = {.length = 0};
        struct told pieces_told = {.length = 0};
        for (size_t at = 0; at < length;) {
            size_t piece = 1 + protocol_random(&seed) % 700;
            piece = piece > length - at ? length - at : piece;
            feed(&pieces, bytes + at, piece, &pieces_told);
            at += piece;
        }
        assert_told(&pieces_told, whole_told.words, round);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_are_the_same_however_the_stream_is_cut),
        cmocka_unit_test(every_byte_but_printable_ascii_and_tab_makes_a_bad_line),
        cmocka_unit_test(a_line_has_at_most_1000_characters_with_its_end),
        cmocka_unit_test(a_far_too_long_line_is_told_once_and_the_next_line_lives),
        cmocka_unit_test(a_line_that_never_ends_is_dropped),
        cmocka_unit_test(the_caller_may_stop_between_lines),
        cmocka_unit_test(a_whole_line_is_not_copied),
        cmocka_unit_test(a_chunk_of_a_million_lines_takes_one_pass),
        cmocka_unit_test(random_streams_are_the_same_however_they_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

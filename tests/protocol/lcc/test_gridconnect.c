#include "protocol/lcc/gridconnect.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

#include <stdio.h>
#include <string.h>

/* All frames in `stream`, given in pieces of `piece` bytes, as text one after the other. */
static void read_all(const char *stream, size_t piece, char *told, size_t size) {
    struct lcc_grid_reader reader = {0};
    size_t left = strlen(stream);
    size_t used = 0;
    told[0] = '\0';
    while (left > 0) {
        const char *at = stream;
        size_t length = piece < left ? piece : left;
        stream += length;
        left -= length;
        struct lcc_frame frame;
        while (lcc_grid_next(&reader, &at, &length, &frame)) {
            used += (size_t)snprintf(told + used, size - used, "%s", lcc_text_of(&frame));
            assert_true(used < size);
        }
        assert_int_equal(length, 0);
    }
}

static void check(const char *stream, const char *wanted) {
    for (size_t piece = 1; piece <= strlen(stream); piece++) {
        char told[1000];
        read_all(stream, piece, told, sizeof told);
        assert_string_equal(told, wanted);
    }
}

static void frames_are_read_however_they_are_cut(void **state) {
    (void)state;
    check(":X195B44F7N0A44520000010002;", ":X195B44F7N0A44520000010002;");
    check(":X195b44f7n0a44520000010002;", ":X195B44F7N0A44520000010002;");
    check(":X1949034CN;\r\n:X1982834CN04F7;\n\n\r:X1949034CN;",
          ":X1949034CN;:X1982834CN04F7;:X1949034CN;");
    check(":X1949034CN;:X1949034CN;", ":X1949034CN;:X1949034CN;");
}

static void what_is_malformed_is_dropped_and_the_next_is_read(void **state) {
    (void)state;
    static const char *const wrong[] = {
        ":X1949034CN",                    /* never ends: the next begins */
        ":X1949034C;",                    /* no N */
        ":X1949034CR;",                   /* a remote frame */
        ":S07FEN;",                       /* an 11-bit id, four digits */
        ":S7FEN;",                        /* three */
        ":X194903GCN;",                   /* not a digit */
        ":X1949034CN0;",                  /* half a byte */
        ":X1949034CN0G;",                 /* not a digit */
        ":X1949034CN001122334455667788;", /* nine bytes */
        ":X1949034CN00112233445566778899AABBCCDDEEFF00112233;",
        ":X3949034CN;", /* 30 bits */
        ":;",
        ";",
        "X1949034CN;",
        ":X1949 034CN;",
        "garbage",
        "\xFF\xFE",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char stream[200];
        snprintf(stream, sizeof stream, "%s:X1982834CN04F7;", wrong[i]);
        check(stream, ":X1982834CN04F7;");
    }
}

static void a_nul_is_garbage_too(void **state) {
    (void)state;
    static const char bytes[] = ":X19\0"
                                "49034CN;:X1982834CN04F7;";
    struct lcc_grid_reader reader = {0};
    const char *at = bytes;
    size_t length = sizeof bytes - 1;
    struct lcc_frame frame;
    assert_true(lcc_grid_next(&reader, &at, &length, &frame));
    assert_string_equal(lcc_text_of(&frame), ":X1982834CN04F7;");
    assert_false(lcc_grid_next(&reader, &at, &length, &frame));
}

static void a_frame_cut_short_is_none(void **state) {
    (void)state;
    static const char whole[] = ":X195B44F7N0A44520000010002;";
    for (size_t length = 0; length + 1 < sizeof whole; length++) {
        struct lcc_grid_reader reader = {0};
        const char *at = whole;
        size_t left = length;
        struct lcc_frame frame;
        assert_false(lcc_grid_next(&reader, &at, &left, &frame));
    }
}

static void the_longest_frame_has_room(void **state) {
    (void)state;
    const struct lcc_frame frame = {.id = 0x1FFFFFFF, .length = LCC_FRAME_BYTES};
    char text[LCC_GRID_WRITTEN];
    assert_int_equal(lcc_grid_write(&frame, text), LCC_GRID_WRITTEN);
    assert_memory_equal(text, ":X1FFFFFFFN0000000000000000;\n", LCC_GRID_WRITTEN);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(frames_are_read_however_they_are_cut),
        cmocka_unit_test(what_is_malformed_is_dropped_and_the_next_is_read),
        cmocka_unit_test(a_nul_is_garbage_too),
        cmocka_unit_test(a_frame_cut_short_is_none),
        cmocka_unit_test(the_longest_frame_has_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/lcc/lcc_text.h"

#include "support/check.h"

#include <stdio.h>
#include <string.h>

struct lcc_frame lcc_text_frame(const char *text) {
    struct lcc_grid_reader reader = {0};
    struct lcc_frame frame = {0};
    struct lcc_frame more;
    size_t length = strlen(text);
    if (!lcc_grid_next(&reader, &text, &length, &frame) || length > 0 ||
        lcc_grid_next(&reader, &text, &length, &more)) {
        fail_msg("not one frame: %s", text);
    }
    return frame;
}

const char *lcc_text_of(const struct lcc_frame *frame) {
    enum { BUFFERS = 4 };
    static char buffers[BUFFERS][LCC_GRID_WRITTEN];
    static unsigned next;
    char *text = buffers[next++ % BUFFERS];
    unsigned length = lcc_grid_write(frame, text);
    text[length - 1] = '\0';
    return text;
}

void lcc_text_check(const struct lcc_frame *frames, unsigned count, const char *text) {
    enum { TEXT_MAX = 64 * LCC_GRID_WRITTEN };
    char all[TEXT_MAX] = "";
    size_t length = 0;
    for (unsigned i = 0; i < count; i++) {
        length +=
            (size_t)snprintf(all + length, sizeof all - length, "%s", lcc_text_of(&frames[i]));
        assert_true(length < sizeof all);
    }
    assert_string_equal(all, text);
}

/* What is kept of the core's structs: all of it, bit by bit. */
#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/request.h"
#include "core/data/setup.h"
#include "core/data/state.h"
#include "records/codec/core_shapes.h"
#include "support/check.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* How far the leaves have come without a hole. */
struct cover {
    size_t reached;
    bool was_in_motion;
    bool has_hole;
};

static size_t aligned(size_t offset, size_t alignment) {
    return (offset + alignment - 1) / alignment * alignment;
}

/* Structs are aligned as words are, those of motion and jog as numbers are. A new flag beside
 * others can hide in padding: the replays' comparisons of states find that one. */
static void cover_leaf(void *context, const struct shape_leaf *leaf) {
    static const size_t sizes[] = {
        [SHAPE_FLAG] = sizeof(bool), [SHAPE_WORD] = 4, [SHAPE_NUMBER] = sizeof(double)};
    struct cover *cover = context;
    size_t size = sizes[leaf->kind];
    bool is_in_motion =
        strncmp(leaf->path, "motion.", 7) == 0 || strncmp(leaf->path, "jog.", 4) == 0;
    bool is_border = is_in_motion != cover->was_in_motion;
    bool is_next = leaf->offset == aligned(cover->reached, size) ||
                   leaf->offset == aligned(cover->reached, 4) ||
                   (is_border && leaf->offset == aligned(cover->reached, sizeof(double)));
    if (!is_next) {
        print_error("a member is missing before %s\n", leaf->path);
    }
    cover->has_hole = cover->has_hole || !is_next;
    cover->was_in_motion = is_in_motion;
    cover->reached = leaf->offset + size;
}

static void assert_complete(const struct shape *shape, size_t size) {
    assert_int_equal(shape->size, size);
    struct cover cover = {.reached = 0};
    shape_walk(shape, &cover, cover_leaf);
    assert_false(cover.has_hole);
    assert_true(size - cover.reached < sizeof(double));
}

static void every_member_of_the_core_has_its_row(void **state) {
    (void)state;
    assert_complete(&core_setup_shape, sizeof(struct bridge_setup));
    assert_complete(&core_state_shape, sizeof(struct bridge_state));
    assert_complete(&core_inputs_shape, sizeof(struct bridge_inputs));
    assert_complete(&core_outputs_shape, sizeof(struct bridge_outputs));
    assert_complete(&core_request_shape, sizeof(struct bridge_request));
}

static struct bridge_state some_state(void) {
    struct bridge_state some = {.phase = PHASE_RAISING, .is_cut = true, .openings = UINT32_MAX};
    some.motion.position_frac = 0.1;
    some.motion.direction = -1;
    some.motion.rest_frac = -0.0;
    some.motion.window_frac = NAN;
    some.track[BRIDGE_TRACKS_MAX - 1].is_occupied = true;
    return some;
}

static void bytes_give_the_same_again(void **state) {
    (void)state;
    const struct bridge_state nothing = {.phase = PHASE_UNPROVED};
    const struct bridge_state some = some_state();
    struct pack pack = {0};
    shape_pack(&core_state_shape, &nothing, &some, &pack);
    assert_false(pack.has_failed);
    struct unpack unpack = {.at = pack.data, .left = pack.size};
    struct bridge_state again = nothing;
    assert_true(shape_unpack(&core_state_shape, &again, &unpack));
    assert_int_equal(unpack.left, 0);
    assert_memory_equal(&again, &some, sizeof some);
    pack_free(&pack);
}

static void cut_and_wrong_bytes_are_told(void **state) {
    (void)state;
    const struct bridge_state nothing = {.phase = PHASE_UNPROVED};
    const struct bridge_state some = some_state();
    struct pack pack = {0};
    shape_pack(&core_state_shape, &nothing, &some, &pack);
    for (size_t size = 0; size < pack.size; size++) {
        struct unpack unpack = {.at = pack.data, .left = size};
        struct bridge_state again = nothing;
        assert_false(shape_unpack(&core_state_shape, &again, &unpack));
    }
    static const unsigned char beyond[] = {0xff, 0x1f, 1, 0};
    struct unpack unpack = {.at = beyond, .left = sizeof beyond};
    struct bridge_state again = nothing;
    assert_false(shape_unpack(&core_state_shape, &again, &unpack));
    pack_free(&pack);
}

static void differences_are_named(void **state) {
    (void)state;
    const struct bridge_state one = some_state();
    struct bridge_state other = one;
    struct shape_difference difference;
    assert_false(shape_differs(&core_state_shape, &one, &other, &difference));
    other.motion.window_frac = -NAN;
    assert_false(shape_differs(&core_state_shape, &one, &other, &difference));
    other.motion.rest_frac = 0;
    assert_true(shape_differs(&core_state_shape, &one, &other, &difference));
    assert_string_equal(difference.path, "motion.rest_frac");
    assert_string_equal(difference.one, "-0x0p+0");
    assert_string_equal(difference.other, "0x0p+0");
    other.track[2].end[1].stop_clear.left_us = 7;
    assert_true(shape_differs(&core_state_shape, &one, &other, &difference));
    assert_string_equal(difference.path, "track[2].end[1].stop_clear.left_us");
}

struct copying {
    const struct bridge_state *from;
    struct bridge_state *to;
};

static void copy_as_text(void *context, const struct shape_leaf *leaf) {
    const struct copying *copying = context;
    char text[SHAPE_VALUE_SIZE];
    shape_write(leaf, copying->from, text);
    assert_true(shape_read(&core_state_shape, copying->to, leaf->path, text));
}

static void text_gives_the_same_again(void **state) {
    (void)state;
    const struct bridge_state some = some_state();
    struct bridge_state again = {.phase = PHASE_UNPROVED};
    struct copying copying = {.from = &some, .to = &again};
    shape_walk(&core_state_shape, &copying, copy_as_text);
    assert_false(shape_differs(&core_state_shape, &some, &again, NULL));
    static const char *const wrong[][2] = {
        {"phase", "x"},  {"phase", ""},          {"phase", "99999999999"},
        {"is_cut", "2"}, {"no_such_thing", "1"}, {"motion.rest_frac", "1 2"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(shape_read(&core_state_shape, &again, wrong[i][0], wrong[i][1]));
    }
    assert_false(shape_differs(&core_state_shape, &some, &again, NULL));
}

static const struct shape_member one_members[] = {{.name = "a", .kind = SHAPE_WORD}};
static const struct shape_member renamed_members[] = {{.name = "b", .kind = SHAPE_WORD}};
static const struct shape_member other_kind_members[] = {{.name = "a", .kind = SHAPE_FLAG}};

static void another_shape_has_another_print(void **state) {
    (void)state;
    const struct shape one = {.size = 4, .members = 1, .member = one_members};
    const struct shape renamed = {.size = 4, .members = 1, .member = renamed_members};
    const struct shape other_kind = {.size = 4, .members = 1, .member = other_kind_members};
    assert_true(shape_print(&one) == shape_print(&one));
    assert_true(shape_print(&one) != shape_print(&renamed));
    assert_true(shape_print(&one) != shape_print(&other_kind));
    assert_true(core_shapes_print() <= INT64_MAX);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_member_of_the_core_has_its_row),
        cmocka_unit_test(bytes_give_the_same_again),
        cmocka_unit_test(cut_and_wrong_bytes_are_told),
        cmocka_unit_test(differences_are_named),
        cmocka_unit_test(text_gives_the_same_again),
        cmocka_unit_test(another_shape_has_another_print),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

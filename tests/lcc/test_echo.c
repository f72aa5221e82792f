/* A network that is not a tree: what comes back by another way goes no further. */
#include "lcc/echo.h"
#include "support/check.h"
#include "support/lcc/lcc_stage.h"
#include "support/lcc/lcc_text.h"

#include <string.h>

static struct echo echo;

static int set_up(void **state) {
    (void)state;
    memset(&echo, 0, sizeof echo);
    return 0;
}

static bool finds(const char *text, unsigned link, uint64_t now_us) {
    const struct lcc_frame frame = lcc_text_frame(text);
    return echo_find(&echo, &frame, link, now_us) != NULL;
}

static void the_same_by_another_way_is_an_echo(void **state) {
    (void)state;
    static const char event[] = ":X195B434CN0A44520000410000;";
    assert_false(finds(event, 1, 1000));
    assert_true(finds(event, 2, 1001));
    assert_true(finds(event, 3, 2000));
    assert_false(finds(":X195B434DN0A44520000410000;", 2, 2000)); /* of another node */
    assert_false(finds(":X195B434CN0A44520000410001;", 2, 2000));
    assert_false(finds(":X195B434CN0A445200004100;", 2, 2000));
    assert_false(finds(event, 1, 3000)); /* by the same way: a button pressed twice */
    assert_true(finds(event, 2, 3000 + ECHO_US - 1));
    assert_false(finds(event, 2, 3000 + ECHO_US));
}

static void what_we_sent_ourselves_is_an_echo_by_any_way(void **state) {
    (void)state;
    assert_false(finds(":X195B44F7N0A44520000010002;", 0, 1000));
    assert_true(finds(":X195B44F7N0A44520000010002;", 1, 1000));
}

static void only_many_in_a_second_are_a_loop(void **state) {
    (void)state;
    struct echo_count count = {0};
    const struct lcc_frame check = lcc_text_frame(":X170A44F7N;");
    const struct lcc_frame event = lcc_text_frame(":X195B44F7N0A44520000010002;");
    for (unsigned i = 0; i < 3 * ECHO_LOOP; i++) {
        assert_false(echo_count(&count, 1000 + i * (uint64_t)ECHO_US / (ECHO_LOOP - 1)));
    }
    assert_true(echo_is_dropped(&count, &event));
    assert_false(echo_is_dropped(&count, &check)); /* may be another node's wish */
    unsigned loops = 0;
    for (unsigned i = 0; i < 3 * ECHO_LOOP; i++) {
        loops += echo_count(&count, 100 * (uint64_t)ECHO_US + i);
    }
    assert_int_equal(loops, 1); /* and is told once */
    assert_true(echo_is_dropped(&count, &check));
    assert_false(echo_count(&count, 105 * (uint64_t)ECHO_US));
    assert_false(echo_count(&count, 200 * (uint64_t)ECHO_US)); /* long mended */
    assert_false(echo_is_dropped(&count, &check));
}

/* ---- in a loop time stands still for what looks for echoes */

static bool is_still;

const struct echo_frame *__real_echo_find(struct echo *all, const struct lcc_frame *frame,
                                          unsigned link, uint64_t now_us);
bool __real_echo_count(struct echo_count *count, uint64_t now_us);
const struct echo_frame *__wrap_echo_find(struct echo *all, const struct lcc_frame *frame,
                                          unsigned link, uint64_t now_us);
bool __wrap_echo_count(struct echo_count *count, uint64_t now_us);

const struct echo_frame *__wrap_echo_find(struct echo *all, const struct lcc_frame *frame,
                                          unsigned link, uint64_t now_us) {
    return __real_echo_find(all, frame, link, is_still ? 1 : now_us);
}

bool __wrap_echo_count(struct echo_count *count, uint64_t now_us) {
    return __real_echo_count(count, is_still ? 1 : now_us);
}

/* ---- two clients that are one: what either is given the other sends */

static struct lcc_stage stage;

static struct lcc_peer *one, *other, *watching;

static int set_up_loop(void **state) {
    (void)state;
    is_still = true;
    lcc_stage_init(&stage, 1);
    lcc_stage_open(&stage);
    watching = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    one = lcc_stage_connect(&stage, LCC_STAGE_OPERATES);
    other = lcc_stage_connect(&stage, LCC_STAGE_OPERATES);
    return 0;
}

static int tear_down_loop(void **state) {
    (void)state;
    lcc_stage_close(&stage);
    is_still = false;
    return 0;
}

static unsigned carry(struct lcc_peer *from, struct lcc_peer *to) {
    unsigned frames = 0;
    const char *frame;
    while ((frame = lcc_peer_came(&stage, from)) != NULL) {
        char kept[sizeof from->frame];
        strcpy(kept, frame);
        lcc_peer_send(&stage, to, kept);
        assert_true(++frames < 2000);
    }
    return frames;
}

/* Until nothing goes round any more; returns how many frames went. */
static unsigned go_round(void) {
    unsigned frames = 0, more;
    do {
        more = carry(one, other) + carry(other, one);
        frames += more;
        assert_true(frames < 2000);
    } while (more > 0);
    return frames;
}

static void an_event_acts_once_and_is_passed_on_once(void **state) {
    (void)state;
    lcc_peer_send(&stage, watching, ":X195B434CN0A44520000011000;"); /* raise */
    assert_int_equal(go_round(), 2);
    assert_int_equal(stage.asks, 1);
    lcc_peer_expect_nothing(&stage, watching);
    lcc_peer_send(&stage, watching, ":X195B434CN0A44520000011002;"); /* stop, twice */
    lcc_peer_send(&stage, watching, ":X195B434CN0A44520000011002;");
    go_round();
    assert_int_equal(stage.asks, 3);
}

static void a_node_keeps_its_alias_and_is_heard_once(void **state) {
    (void)state;
    stage.view[0].state.phase = PHASE_FAULT;
    lcc_stage_tell(&stage, 0);
    lcc_peer_await(&stage, watching, ":X195B44F7N0A44520000010006;");
    go_round();
    const char *frame;
    while ((frame = lcc_peer_came(&stage, watching)) != NULL) {
        assert_string_not_equal(frame, ":X195B44F7N0A44520000010006;");
        assert_null(strstr(frame, ":X10703")); /* the alias is given up */
    }
}

/* The node's own wish for an alias comes back as if another wanted it. */
static void a_node_that_starts_in_a_loop_comes_up(void **state) {
    (void)state;
    lcc_peer_send(&stage, watching, ":X1949034CN;");
    while (strstr(lcc_peer_frame(&stage, watching), ":X19170") == NULL) {
    }
    bool is_up = false;
    lcc_peer_send(&stage, watching, ":X1A4F734CN20A9;"); /* starts anew */
    while (!is_up) {
        go_round();
        const char *frame = lcc_peer_came(&stage, watching);
        if (frame == NULL) {
            turning_once(&stage.turning);
        }
        is_up = frame != NULL && strncmp(frame, ":X19100", 7) == 0;
    }
}

/* Its link is another then. */
static void who_comes_back_at_once_is_heard_again(void **state) {
    (void)state;
    lcc_peer_send(&stage, one, ":X195B4111N0A44520000011002;");
    lcc_peer_leave(&stage, one);
    lcc_peer_send(&stage, other, ":X195B4111N0A44520000011002;");
    assert_int_equal(stage.asks, 2);
}

int main(void) {
#define LOOP_TEST(name) cmocka_unit_test_setup_teardown(name, set_up_loop, tear_down_loop)
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(the_same_by_another_way_is_an_echo, set_up),
        cmocka_unit_test_setup(what_we_sent_ourselves_is_an_echo_by_any_way, set_up),
        cmocka_unit_test(only_many_in_a_second_are_a_loop),
        LOOP_TEST(an_event_acts_once_and_is_passed_on_once),
        LOOP_TEST(a_node_keeps_its_alias_and_is_heard_once),
        LOOP_TEST(a_node_that_starts_in_a_loop_comes_up),
        LOOP_TEST(who_comes_back_at_once_is_heard_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

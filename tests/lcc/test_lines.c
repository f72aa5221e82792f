/* Lines of a bridge that are devices of other nodes, as frames on a real connection. */
#include "protocol/lcc/message.h"
#include "support/check.h"
#include "support/lcc/lcc_stage.h"

#include <string.h>

static struct lcc_stage stage;
static struct lcc_peer *peer;

/* Node 0A.44.52.00.00.01, alias 4F7; a signal, commanded and proved, as another node has it. */
#define PROCEED "0A44520000410000"
#define STOP "0A44520000410001"
#define NOT_AT_STOP "0A44520000410100"
#define AT_STOP "0A44520000410101"
static const uint64_t at_stop = 0x0A44520000410101;

static int set_up(void **state) {
    (void)state;
    lcc_stage_init(&stage, 1);
    struct lcc_bridge_setup *lcc = &stage.config.lcc.bridge[0];
    lcc->commands = 1;
    lcc->command[0] = (struct lcc_line_setup){{0x0A44520000410001, 0x0A44520000410000},
                                              {"signal to stop", "signal to proceed"}};
    lcc->points = 1;
    lcc->point[0] =
        (struct lcc_line_setup){{0x0A44520000410100, at_stop}, {"not at stop", "at stop"}};
    lcc_stage_open(&stage);
    peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);         /* lines are not requests */
    lcc_peer_await(&stage, peer, ":X194C74F7N" NOT_AT_STOP ";"); /* the last that is told */
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    lcc_stage_close(&stage);
    return 0;
}

/* Event Transport S: what is sent and what is read is identified. */
static void a_node_says_which_events_of_others_it_uses(void **state) {
    (void)state;
    lcc_peer_send(&stage, peer, ":X1991434CN" STOP ";");
    lcc_peer_expect(&stage, peer, ":X195474F7N" STOP ";"); /* not commanded yet: unknown */
    lcc_peer_send(&stage, peer, ":X198F434CN" AT_STOP ";");
    lcc_peer_expect(&stage, peer, ":X194C74F7N" AT_STOP ";");
    lcc_command(stage.lcc, 0, 0, false);
    lcc_peer_expect(&stage, peer, ":X195B44F7N" STOP ";");
    lcc_peer_send(&stage, peer, ":X1991434CN" STOP ";");
    lcc_peer_expect(&stage, peer, ":X195444F7N" STOP ";");
}

static void a_command_goes_again_when_it_is_wanted_again(void **state) {
    (void)state;
    assert_true(lcc_is_up(stage.lcc) && lcc_may_send(stage.lcc, 0));
    for (unsigned times = 0; times < 3; times++) {
        lcc_command(stage.lcc, 0, 0, true);
        lcc_peer_expect(&stage, peer, ":X195B44F7N" PROCEED ";");
    }
    lcc_command(stage.lcc, 0, 0, true);
    lcc_command(stage.lcc, 0, 0, false); /* newest wins */
    lcc_peer_expect(&stage, peer, ":X195B44F7N" STOP ";");
    lcc_peer_expect_nothing(&stage, peer);
}

static void the_producer_is_asked_and_its_answer_handed_on(void **state) {
    (void)state;
    static const struct {
        const char *frame;
        uint16_t mti;
    } rows[] = {{":X1954434CN" AT_STOP ";", LCC_PRODUCER_VALID},
                {":X1954534CN" AT_STOP ";", LCC_PRODUCER_INVALID},
                {":X1954734CN" AT_STOP ";", LCC_PRODUCER_UNKNOWN},
                {":X195B434CN" AT_STOP ";", LCC_EVENT_REPORT}};
    assert_true(lcc_identify(stage.lcc, 0, at_stop));
    lcc_peer_expect(&stage, peer, ":X199144F7N" AT_STOP ";");
    for (unsigned i = 0; i < 4; i++) {
        unsigned came = stage.came;
        lcc_peer_send(&stage, peer, rows[i].frame);
        assert_int_equal(stage.saids, i + 1);
        assert_true(stage.came > came);
        assert_int_equal(stage.said.mti, rows[i].mti);
        assert_int_equal(stage.said.source, 0x34C);
        assert_true(stage.said.event == at_stop);
    }
    assert_int_equal(stage.asks, 0);
    assert_int_equal(stage.refusals, 0);
}

static void nothing_else_is_said_of_a_line(void **state) {
    (void)state;
    static const char *const frames[] = {
        ":X1954434CN0A44520000410102;", /* another event */
        ":X194C434CN" AT_STOP ";",      /* a consumer */
        ":X1959434CN" AT_STOP ";",      /* learn */
        ":X1991434CN" AT_STOP ";",      /* a question */
        ":X1954434CN0A445200004101;",   /* too short */
        ":X1952434CN0A4452000041FFFF;", /* a range */
        ":X1954434CN" PROCEED ";",      /* somebody else commands, too */
    };
    for (size_t i = 0; i < sizeof frames / sizeof frames[0]; i++) {
        lcc_peer_send(&stage, peer, frames[i]);
    }
    assert_int_equal(stage.saids, 0);
}

static void commands_go_before_states_and_off_before_on(void **state) {
    (void)state;
    stage.view[0].state.phase = PHASE_FAULT;
    lcc_stage_tell(&stage, 0);
    lcc_command(stage.lcc, 0, 0, true);
    lcc_peer_expect(&stage, peer, ":X195B44F7N" PROCEED ";");
    lcc_peer_await(&stage, peer, ":X195B44F7N0A44520000010006;");
}

/* Nobody turns the loop, and nothing is asked of bridges any more. */
static void the_end_goes_on_without_the_loop(void **state) {
    (void)state;
    lcc_peer_send(&stage, peer, ":X1949034CN;");
    lcc_peer_await(&stage, peer, ":X191704F7N0A4452000001;");
    unsigned came = stage.came;
    lcc_command(stage.lcc, 0, 0, false);
    lcc_exchange(stage.lcc, 0);
    lcc_peer_expect(&stage, peer, ":X195B44F7N" STOP ";");
    lcc_peer_send(&stage, peer, ":X195B434CN0A44520000011000;:X1954434CN" AT_STOP ";");
    while (stage.saids == 0) {
        lcc_exchange(stage.lcc, 10);
    }
    assert_int_equal(stage.asks + stage.refusals, 0);
    assert_int_equal(stage.came, came);
}

static void a_dying_program_still_commands_stop(void **state) {
    (void)state;
    lcc_command(stage.lcc, 0, 0, true);
    lcc_peer_expect(&stage, peer, ":X195B44F7N" PROCEED ";");
    lcc_crash_off(stage.lcc, 0);
    lcc_peer_expect(&stage, peer, ":X195B44F7N" STOP ";");
}

static void nobody_is_there_when_the_last_has_left(void **state) {
    (void)state;
    unsigned came = stage.came;
    lcc_peer_leave(&stage, peer);
    lcc_stage_settle(&stage);
    assert_false(lcc_is_up(stage.lcc));
    assert_true(stage.came > came);
}

int main(void) {
#define LINES_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        LINES_TEST(a_node_says_which_events_of_others_it_uses),
        LINES_TEST(a_command_goes_again_when_it_is_wanted_again),
        LINES_TEST(the_producer_is_asked_and_its_answer_handed_on),
        LINES_TEST(nothing_else_is_said_of_a_line),
        LINES_TEST(commands_go_before_states_and_off_before_on),
        LINES_TEST(the_end_goes_on_without_the_loop),
        LINES_TEST(a_dying_program_still_commands_stop),
        LINES_TEST(nobody_is_there_when_the_last_has_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

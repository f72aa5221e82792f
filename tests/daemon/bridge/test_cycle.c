/* A bridge's cycle: sense, decide, act, tell, in that order and with all the time there was; before
 * the network, and again where an edge came meanwhile. The port is a script, and time is moved. */
#include "bridge/cycle.h"
#include "process/loop.h"
#include "support/broken.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <event2/event.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { STEPS_MAX = 64, PATIENCE = 100000, SECOND_US = 1000000, SLACK_US = 10000 /* clock.c's */ };

struct step {
    uint32_t dt_us, late_us;
    enum bridge_phase before, after;
    bool is_last; /* of its cycle: the port was asked for its wake behind it */
    enum bridge_request_kind asked;
    enum bridge_answer answer;
};

struct stage {
    struct loop *loop;
    struct layout_clock clock;
    struct bridge_setup setup;
    struct cycle *cycle;
    /* The port, and what was asked of it. */
    const struct port_host *host;
    struct bridge_inputs inputs;
    uint32_t wake_us;
    uint64_t first_us, now_us; /* as sensed */
    bool is_open_with_an_edge, has_edge_in_act, has_cycle_in_step, is_safe, is_settled;
    uint32_t settled_within_us;
    unsigned senses, acts, crashes, closes;
    const char *const *news; /* not passed on yet; NULL: none */
    unsigned tells, would_simulates;
    char order[16]; /* sense, act, told, news */
    struct bridge_outputs put;
    struct bridge_view told;
    unsigned steps;
    struct step step[STEPS_MAX];
    bool is_storm; /* only the last step is kept; the loop ends when there were far too many */
    unsigned storm_steps;
};

static void note(struct stage *stage, char what) {
    size_t length = strlen(stage->order);
    if (length + 1 < sizeof stage->order) {
        stage->order[length] = what;
    }
}

/* ---- the port; settings->tracks is not its own: the stage comes by a variable */

static struct stage *stage_of_test;

static void *port_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    struct stage *stage = stage_of_test;
    (void)settings;
    (void)error;
    stage->host = host;
    if (stage->is_open_with_an_edge) {
        host->changed(host->context);
    }
    return stage;
}

static void port_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct stage *stage = port;
    note(stage, 's');
    stage->first_us = stage->senses++ == 0 ? now_us : stage->first_us;
    stage->now_us = now_us;
    *inputs = stage->inputs;
}

static void port_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct stage *stage = port;
    (void)now_us;
    note(stage, 'a');
    stage->acts++;
    stage->put = *outputs;
    if (stage->has_edge_in_act) {
        stage->has_edge_in_act = false;
        stage->host->changed(stage->host->context);
    }
}

static uint32_t port_wake_us(const void *port) {
    struct stage *stage = stage_of_test;
    (void)port;
    stage->step[stage->steps - 1].is_last = true;
    return stage->wake_us;
}

static bool port_safe(void *port) {
    return ((struct stage *)port)->is_safe;
}

static bool port_settle(void *port, uint32_t within_us) {
    struct stage *stage = port;
    stage->settled_within_us = within_us;
    return stage->is_settled;
}

static void port_crash_safe(void *port) {
    ((struct stage *)port)->crashes++;
}

static void port_close(void *port) {
    ((struct stage *)port)->closes++;
}

static const struct port_ops ops = {.name = "script",
                                    .open = port_open,
                                    .sense = port_sense,
                                    .act = port_act,
                                    .wake_us = port_wake_us,
                                    .safe = port_safe,
                                    .settle = port_settle,
                                    .crash_safe = port_crash_safe,
                                    .close = port_close};

static void stepped(void *context, unsigned bridge, const struct bridge_view *before,
                    const struct bridge_view *after, const struct cycle_step *step) {
    struct stage *stage = context;
    assert_int_equal(bridge, 3);
    if (stage->is_storm) {
        stage->steps = 0;
        if (++stage->storm_steps >= PATIENCE) {
            event_base_loopbreak(loop_base(stage->loop));
        }
    }
    assert_true(stage->steps < STEPS_MAX);
    /* Acted upon is what this step has decided. */
    assert_memory_equal(&stage->put, &after->outputs, sizeof stage->put);
    note(stage, 't');
    if (stage->has_cycle_in_step) {
        cycle_beat(stage->cycle);
    }
    stage->told = *after;
    stage->step[stage->steps++] = (struct step){.dt_us = step->dt_us,
                                                .late_us = after->inputs.late_us,
                                                .before = before->state.phase,
                                                .after = after->state.phase,
                                                .asked = step->request->kind,
                                                .answer = step->answer};
}

/* ---- more of a port, that only some have */

static void *port_cannot_open(const struct port_settings *settings, const struct port_host *host,
                              struct error *error) {
    (void)settings;
    (void)host;
    error_set(error, "terminal 7", "is in use");
    return NULL;
}

static const char *port_news(void *port) {
    struct stage *stage = port;
    return stage->news == NULL || *stage->news == NULL ? NULL : *stage->news++;
}

static bool port_simulate(void *port, const char *words, struct error *error) {
    ((struct stage *)port)->tells++;
    return strcmp(words, "train") == 0 || error_set(error, "", "not understood");
}

static bool port_would_simulate(const void *port, const char *words, struct error *error) {
    (void)port;
    stage_of_test->would_simulates++;
    return strcmp(words, "train") == 0 || error_set(error, "", "would not be understood");
}

static void news_came(void *context, unsigned bridge, const char *words) {
    assert_int_equal(bridge, 3);
    note(context, words[0]);
}

/* ---- the stage */

static void open_cycle(struct stage *stage, const struct port_ops *port) {
    struct error error;
    const struct cycle_setup setup = {
        .bridge = 3, .port = port, .settings = {.setup = &stage->setup}};
    const struct cycle_listener listener = {
        .context = stage, .stepped = stepped, .news = news_came};
    stage->cycle = cycle_new(stage->loop, &stage->clock, &setup, &listener, &error);
    assert_non_null(stage->cycle);
}

static void start(struct stage *stage) {
    cycle_start(stage->cycle, &(struct bridge_request){.kind = REQUEST_NONE});
}

/* A bridge lifted by hand and without tracks, seated and locked. */
static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    stage_of_test = stage;
    stage->loop = loop_new();
    assert_non_null(stage->loop);
    stage->setup = puppet_hand_setup();
    stage->setup.tracks = 0;
    stage->setup.debounce_us = 200000;
    stage->inputs.seated = LEVEL_ON;
    stage->inputs.locked = LEVEL_ON;
    stage->inputs.open = LEVEL_OFF;
    stage->inputs.stop_circuit = LEVEL_ON;
    stage->wake_us = UINT32_MAX;
    clock_start(&stage->clock, 1);
    open_cycle(stage, &ops);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    cycle_free(stage->cycle);
    loop_free(stage->loop);
    free(stage);
    return 0;
}

static void let_pass(struct stage *stage, uint64_t time_us) {
    stage->clock.start_us -= time_us;
}

static void close_and_reopen(struct stage *stage) {
    cycle_free(stage->cycle);
    stage->steps = 0;
    stage->senses = 0;
    open_cycle(stage, &ops);
}

/* Beats until the contacts are believed and nothing more is due of the core's. Late looks, too:
 * those prove nothing, so that others must come in time. */
static void settle_down(struct stage *stage) {
    start(stage);
    for (unsigned i = 0; i < 4; i++) {
        let_pass(stage, 10 * (uint64_t)SECOND_US);
        cycle_beat(stage->cycle);
    }
    uint32_t wake_us;
    while ((wake_us = bridge_wake_us(&stage->setup, &cycle_view(stage->cycle)->state)) !=
           UINT32_MAX) {
        let_pass(stage, wake_us);
        cycle_beat(stage->cycle);
    }
    assert_int_equal(bridge_wake_us(&stage->setup, &cycle_view(stage->cycle)->state), UINT32_MAX);
}

/* ---- */

static void each_step_senses_decides_acts_and_tells(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    memset(stage->order, 0, sizeof stage->order);
    stage->inputs.seated = LEVEL_OFF;
    cycle_beat(stage->cycle);
    assert_memory_equal(stage->order, "sat", 3);
    assert_int_equal(stage->told.inputs.seated, LEVEL_OFF);
    assert_memory_equal(&stage->put, &stage->told.outputs, sizeof stage->put);
    assert_int_equal(stage->senses, stage->steps);
    assert_int_equal(stage->acts, stage->steps);
}

static void it_steps_again_at_once_while_the_phase_changes(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    unsigned changes = 0;
    for (unsigned i = 0; i < stage->steps; i++) {
        bool is_change = stage->step[i].before != stage->step[i].after;
        changes += is_change;
        assert_int_equal(stage->step[i].is_last, !is_change);
    }
    assert_true(changes > 0);
    assert_int_equal(cycle_view(stage->cycle)->state.phase, PHASE_LINED);
}

static void all_time_is_counted_and_none_twice(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    uint64_t sum_us = 0;
    for (unsigned i = 1; i < stage->steps; i++) {
        sum_us += stage->step[i].dt_us;
    }
    assert_int_equal(sum_us, stage->now_us - stage->first_us);
    assert_true(sum_us >= 40 * (uint64_t)SECOND_US);
}

static void time_longer_than_the_core_can_be_told_is_the_longest(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    stage->wake_us = 1000;
    cycle_beat(stage->cycle);
    let_pass(stage, (uint64_t)UINT32_MAX + 2 * SECOND_US);
    cycle_beat(stage->cycle);
    assert_int_equal(stage->step[stage->steps - 1].dt_us, UINT32_MAX);
    assert_int_equal(stage->step[stage->steps - 1].late_us, UINT32_MAX);
}

static void first_step_begins_with_the_start(void **state) {
    struct stage *stage = *state;
    let_pass(stage, 3600 * (uint64_t)SECOND_US); /* other bridges were opened meanwhile */
    start(stage);
    assert_true(stage->step[0].dt_us < 1800u * SECOND_US);
}

static void only_the_first_step_of_a_cycle_has_the_request(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    unsigned first = stage->steps;
    const struct bridge_request raise = {.kind = REQUEST_RAISE};
    assert_int_equal(cycle_ask(stage->cycle, &raise), ANSWER_GRANTED);
    assert_true(stage->steps > first + 1);
    assert_int_equal(stage->step[first].asked, REQUEST_RAISE);
    assert_int_equal(stage->step[first].answer, ANSWER_GRANTED);
    assert_int_equal(stage->step[first].before, PHASE_LINED);
    for (unsigned i = first + 1; i < stage->steps; i++) {
        assert_int_equal(stage->step[i].asked, REQUEST_NONE);
    }
}

static void news_is_passed_on_whole_behind_the_steps(void **state) {
    static const char *const news[] = {"1 train came", "2 train left", "3 train came", NULL};
    struct stage *stage = *state;
    struct port_ops with_news = ops;
    with_news.news = port_news;
    cycle_free(stage->cycle);
    open_cycle(stage, &with_news);
    settle_down(stage);
    memset(stage->order, 0, sizeof stage->order);
    stage->news = news;
    cycle_beat(stage->cycle);
    assert_string_equal(stage->order, "sat123");
    cycle_beat(stage->cycle);
    assert_string_equal(stage->order, "sat123sat");
    close_and_reopen(stage); /* `with_news` ends here */
}

/* ---- when again */

static void it_wakes_when_the_core_or_the_port_wants_it(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    stage->inputs.seated = LEVEL_OFF; /* which the core believes after a while */
    cycle_beat(stage->cycle);
    uint32_t core_us = bridge_wake_us(&stage->setup, &cycle_view(stage->cycle)->state);
    assert_true(core_us < SECOND_US);
    assert_int_equal(stage->clock.limit_us[3], stage->now_us + core_us + SLACK_US);
    stage->wake_us = core_us / 4;
    cycle_beat(stage->cycle);
    assert_int_equal(stage->clock.limit_us[3], stage->now_us + core_us / 4 + SLACK_US);
    stage->wake_us = UINT32_MAX;
    stage->inputs.seated = LEVEL_ON;
    settle_down(stage);
    assert_int_equal(stage->clock.limit_us[3], UINT64_MAX);
    unsigned steps = stage->steps;
    assert_int_equal(event_base_dispatch(loop_base(stage->loop)), 1); /* no event is left */
    assert_int_equal(stage->steps, steps);                            /* nor was one */
}

/* A client that is always there, and stays until the bridge's timer is due. */
struct client {
    struct stage *stage;
    unsigned turns, steps_before;
    bool has_come_first;
};

static void client_came(evutil_socket_t fd, short what, void *context) {
    struct client *client = context;
    struct stage *stage = client->stage;
    uint64_t begun_us = clock_now_us(&stage->clock);
    (void)fd;
    (void)what;
    if (client->turns++ == 0) {
        client->steps_before = stage->steps;
        while (clock_now_us(&stage->clock) - begun_us < 2 * (uint64_t)stage->wake_us) {
        }
        return;
    }
    client->has_come_first = stage->steps == client->steps_before;
    event_base_loopbreak(loop_base(stage->loop));
}

static void timer_that_is_due_comes_before_the_network(void **state) {
    struct stage *stage = *state;
    int ends[2];
    settle_down(stage);
    stage->wake_us = 20000;
    cycle_beat(stage->cycle);
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "x", 1), 1);
    struct client client = {.stage = stage};
    struct event *event =
        event_new(loop_base(stage->loop), ends[0], EV_READ | EV_PERSIST, client_came, &client);
    event_add(event, NULL);
    event_base_dispatch(loop_base(stage->loop));
    assert_int_equal(client.turns, 2);
    assert_false(client.has_come_first);
    event_free(event);
    close(ends[0]);
    close(ends[1]);
}

/* ---- a bridge whose events never end */

static void client_is_served(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    loop_end(stage->loop);
}

static void edge_came(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    stage->host->changed(stage->host->context);
}

static struct event *listen_at(struct stage *stage, int fd, int priority,
                               event_callback_fn callback) {
    struct event *event =
        event_new(loop_base(stage->loop), fd, EV_READ | EV_PERSIST, callback, stage);
    assert_non_null(event);
    assert_int_equal(event_priority_set(event, priority), 0);
    assert_int_equal(event_add(event, NULL), 0);
    return event;
}

/* Both are always there; it ends when the client has had its turn. */
static void run_beside_a_client(struct stage *stage, bool has_edges) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "x", 1), 1);
    struct event *client = listen_at(stage, ends[0], 1, client_is_served);
    struct event *edge = has_edges ? listen_at(stage, ends[0], 0, edge_came) : NULL;
    stage->is_storm = true;
    loop_run(stage->loop);
    assert_true(stage->storm_steps > 0);
    assert_true(stage->storm_steps < PATIENCE);
    event_free(client);
    if (edge != NULL) {
        event_free(edge);
    }
    close(ends[0]);
    close(ends[1]);
}

static void edges_without_end_leave_a_client_its_turn(void **state) {
    settle_down(*state);
    run_beside_a_client(*state, true);
}

static void timers_without_end_leave_a_client_its_turn(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    stage->wake_us = 0;
    cycle_beat(stage->cycle);
    run_beside_a_client(stage, false);
}

static void edge_that_comes_while_a_cycle_runs_is_another_cycle(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    stage->has_edge_in_act = true;
    unsigned steps = stage->steps;
    cycle_beat(stage->cycle);
    assert_int_equal(stage->steps, steps + 1);                            /* not from within */
    assert_int_equal(stage->clock.limit_us[3], stage->now_us + SLACK_US); /* but without a pause */
    event_base_dispatch(loop_base(stage->loop));
    assert_int_equal(stage->steps, steps + 2);
}

static void edge_is_a_cycle_at_once(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    unsigned steps = stage->steps;
    stage->host->changed(stage->host->context);
    assert_int_equal(stage->steps, steps + 1);
}

static void edge_before_the_start_drives_nothing(void **state) {
    struct stage *stage = *state;
    stage->is_open_with_an_edge = true;
    close_and_reopen(stage);
    assert_int_equal(stage->steps, 0);
    assert_int_equal(stage->acts, 0);
    start(stage);
    assert_true(stage->steps > 0);
}

/* ---- requests */

static void check_answers_as_the_request_would_and_changes_nothing(void **state) {
    static const enum bridge_request_kind kinds[] = {REQUEST_ACKNOWLEDGE, REQUEST_RAISE,
                                                     REQUEST_EMERGENCY_STOP};
    struct stage *stage = *state;
    settle_down(stage);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        const struct bridge_request request = {.kind = kinds[i]};
        struct bridge_view before = *cycle_view(stage->cycle);
        unsigned senses = stage->senses;
        unsigned acts = stage->acts;
        enum bridge_answer would = cycle_would(stage->cycle, &request);
        assert_memory_equal(cycle_view(stage->cycle), &before, sizeof before);
        assert_int_equal(stage->senses, senses);
        assert_int_equal(stage->acts, acts);
        assert_int_equal(cycle_ask(stage->cycle, &request), would);
    }
    assert_int_not_equal(cycle_view(stage->cycle)->state.fault, FAULT_NONE);
}

/* A contact that was lost is not believed yet; a little later it would be. */
static void check_answers_for_this_moment(void **state) {
    struct stage *stage = *state;
    const struct bridge_request acknowledge = {.kind = REQUEST_ACKNOWLEDGE};
    settle_down(stage);
    stage->inputs.seated = LEVEL_UNKNOWN;
    cycle_beat(stage->cycle);
    assert_int_equal(cycle_view(stage->cycle)->state.phase, PHASE_FAULT);
    stage->inputs.seated = LEVEL_ON;
    cycle_beat(stage->cycle);
    assert_int_equal(cycle_would(stage->cycle, &acknowledge), ANSWER_CAUSE_STANDS);
    settle_down(stage);
    assert_int_equal(cycle_would(stage->cycle, &acknowledge), ANSWER_GRANTED);
}

static void world_is_told_and_a_check_only_asks_it(void **state) {
    struct stage *stage = *state;
    struct error error = {.what = ""};
    struct port_ops simulated = ops;
    assert_false(cycle_simulate(stage->cycle, "train", &error));
    assert_string_equal(error.where, "script");
    assert_string_equal(error.what, "this output is not a simulation");
    assert_false(cycle_would_simulate(stage->cycle, "train", &error));
    simulated.simulate = port_simulate;
    simulated.would_simulate = port_would_simulate;
    cycle_free(stage->cycle);
    open_cycle(stage, &simulated);
    assert_true(cycle_would_simulate(stage->cycle, "train", &error));
    assert_false(cycle_would_simulate(stage->cycle, "tarin", &error));
    assert_string_equal(error.what, "would not be understood");
    assert_int_equal(stage->tells, 0);
    assert_true(cycle_simulate(stage->cycle, "train", &error));
    assert_false(cycle_simulate(stage->cycle, "tarin", &error));
    assert_string_equal(error.what, "not understood");
    assert_int_equal(stage->would_simulates, 2);
    close_and_reopen(stage); /* `simulated` ends here */
}

/* ---- a loop that stood still */

static void gap_is_told_once_and_by_how_much_it_was_too_long(void **state) {
    struct stage *stage = *state;
    stage->wake_us = 100000;
    settle_down(stage);
    let_pass(stage, 5 * (uint64_t)SECOND_US);
    cycle_beat(stage->cycle);
    const struct step *late = &stage->step[stage->steps - 1];
    assert_int_equal(late->late_us, late->dt_us - 100000);
    assert_true(late->late_us >= 5 * SECOND_US - 100000);
    cycle_beat(stage->cycle);
    assert_true(stage->step[stage->steps - 1].late_us < late->late_us);
}

static void look_behind_a_late_one_is_in_time(void **state) {
    struct stage *stage = *state;
    stage->inputs.seated = LEVEL_OFF;
    stage->inputs.locked = LEVEL_OFF;
    settle_down(stage);
    stage->inputs.seated = LEVEL_ON;
    stage->inputs.locked = LEVEL_ON; /* believed, and so the phase changes, in the late cycle */
    cycle_beat(stage->cycle);
    unsigned first = stage->steps;
    let_pass(stage, 5 * (uint64_t)SECOND_US);
    cycle_beat(stage->cycle);
    assert_true(stage->steps > first + 1);
    assert_true(stage->step[first].late_us > 4 * SECOND_US);
    for (unsigned i = first + 1; i < stage->steps; i++) {
        assert_int_equal(stage->step[i].late_us, 0);
    }
}

static void bridge_that_nothing_is_planned_for_is_never_late(void **state) {
    struct stage *stage = *state;
    settle_down(stage);
    let_pass(stage, 5 * (uint64_t)SECOND_US);
    cycle_beat(stage->cycle);
    assert_int_equal(stage->step[stage->steps - 1].late_us, 0);
}

/* Layout time waits for a late bridge (clock.h). */
static void bridge_on_a_paced_clock_is_never_late(void **state) {
    struct stage *stage = *state;
    stage->clock.pace = 10;
    stage->wake_us = 100000;
    start(stage);
    let_pass(stage, 5 * (uint64_t)SECOND_US);
    cycle_beat(stage->cycle);
    for (unsigned i = 0; i < stage->steps; i++) {
        assert_int_equal(stage->step[i].late_us, 0);
        assert_true(stage->step[i].dt_us <= 100000 + SLACK_US);
    }
}

/* ---- the end */

static void end_says_what_the_port_knows(void **state) {
    struct stage *stage = *state;
    start(stage);
    assert_false(cycle_safe(stage->cycle));
    assert_false(cycle_settle(stage->cycle, 700));
    assert_int_equal(stage->settled_within_us, 700);
    stage->is_safe = true;
    stage->is_settled = true;
    assert_true(cycle_safe(stage->cycle));
    assert_true(cycle_settle(stage->cycle, 700));
    cycle_crash_safe(stage->cycle);
    assert_int_equal(stage->crashes, 1);
    assert_int_equal(stage->closes, 0);
    cycle_free(stage->cycle);
    assert_int_equal(stage->closes, 1);
    open_cycle(stage, &ops);
}

static void port_that_settles_nothing_is_not_settled(void **state) {
    struct stage *stage = *state;
    struct port_ops plain = ops;
    plain.settle = NULL;
    plain.crash_safe = NULL;
    cycle_free(stage->cycle);
    open_cycle(stage, &plain);
    start(stage);
    assert_false(cycle_settle(stage->cycle, 700));
    cycle_crash_safe(stage->cycle);
    close_and_reopen(stage); /* `plain` ends here */
}

static void beat(void *context) {
    cycle_beat(((struct stage *)context)->cycle);
}

/* Outputs of a step within a step would be put out, and then those of the first once more. */
static void cycle_within_a_cycle_breaks_it(void **state) {
    struct stage *stage = *state;
    start(stage);
    stage->has_cycle_in_step = true;
    assert_broken(beat, stage, "!cycle->is_running");
}

static void port_that_cannot_be_opened_makes_no_cycle(void **state) {
    struct stage *stage = *state;
    struct port_ops shut = ops;
    struct error error = {.what = ""};
    shut.open = port_cannot_open;
    const struct cycle_setup setup = {
        .bridge = 3, .port = &shut, .settings = {.setup = &stage->setup}};
    const struct cycle_listener listener = {.context = stage, .stepped = stepped};
    unsigned closes = stage->closes;
    assert_null(cycle_new(stage->loop, &stage->clock, &setup, &listener, &error));
    assert_string_equal(error.where, "terminal 7");
    assert_string_equal(error.what, "is in use");
    assert_int_equal(stage->closes, closes); /* what was never open */
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(cycle_within_a_cycle_breaks_it),
        STAGED(each_step_senses_decides_acts_and_tells),
        STAGED(it_steps_again_at_once_while_the_phase_changes),
        STAGED(all_time_is_counted_and_none_twice),
        STAGED(time_longer_than_the_core_can_be_told_is_the_longest),
        STAGED(first_step_begins_with_the_start),
        STAGED(only_the_first_step_of_a_cycle_has_the_request),
        STAGED(news_is_passed_on_whole_behind_the_steps),
        STAGED(it_wakes_when_the_core_or_the_port_wants_it),
        STAGED(timer_that_is_due_comes_before_the_network),
        STAGED(edges_without_end_leave_a_client_its_turn),
        STAGED(timers_without_end_leave_a_client_its_turn),
        STAGED(edge_that_comes_while_a_cycle_runs_is_another_cycle),
        STAGED(edge_is_a_cycle_at_once),
        STAGED(edge_before_the_start_drives_nothing),
        STAGED(check_answers_as_the_request_would_and_changes_nothing),
        STAGED(check_answers_for_this_moment),
        STAGED(world_is_told_and_a_check_only_asks_it),
        STAGED(gap_is_told_once_and_by_how_much_it_was_too_long),
        STAGED(look_behind_a_late_one_is_in_time),
        STAGED(bridge_that_nothing_is_planned_for_is_never_late),
        STAGED(bridge_on_a_paced_clock_is_never_late),
        STAGED(end_says_what_the_port_knows),
        STAGED(port_that_settles_nothing_is_not_settled),
        STAGED(port_that_cannot_be_opened_makes_no_cycle),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

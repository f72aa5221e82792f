/* WAIT: our rules where the protocol's text was not found; codes from memory. */
#include "support/check.h"
#include "support/net/net_stage.h"

static struct net_stage stage;
static struct net_client *client;

static int open_stage(void **state) {
    (void)state;
    stage_init(&stage, 2);
    stage_open(&stage);
    client = stage_commander(&stage, OPERATES);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    return 0;
}

static void value_already_there_is_answered_at_once(void **state) {
    (void)state;
    client_ask(&stage, client, "WAIT 1 FB 5 1 30", "100 INFO 1 FB 5 1");
    client_ask(&stage, client, "WAIT 1 GA 1 0 1 30", "100 INFO 1 GA 1 0 1");
    client_ask(&stage, client, "WAIT 1 FB 5 1 0", "100 INFO 1 FB 5 1");
}

static void wait_without_time_is_answered_at_once(void **state) {
    (void)state;
    client_ask(&stage, client, "WAIT 1 FB 3 1 0", "417 ERROR timeout");
    client_ask(&stage, client, "WAIT 1 GA 1 1 1 0", "417 ERROR timeout");
    client_ask(&stage, client, "WAIT 1 FB 3 1 -1", "412 ERROR wrong value");
    client_ask(&stage, client, "WAIT 1 FB 3 2 10", "412 ERROR wrong value");
    client_ask(&stage, client, "WAIT 1 GA 4 2 1 10", "412 ERROR wrong value");
    client_ask(&stage, client, "WAIT 1 POWER ON 10", "423 ERROR unsupported operation");
}

static void wait_ends_in_the_cycle_that_brings_the_value(void **state) {
    (void)state;
    client_send(&stage, client, "WAIT 1 FB 3 1 100\n");
    stage_pass_s(&stage, 50);
    fake_host_cycle(&stage.host, 1, fake_is_open); /* another bridge */
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    client_expect_nothing(&stage, client);
    fake_host_cycle(&stage.host, 0, fake_is_open);
    client_expect_whole(&stage, client, "1050.000 100 INFO 1 FB 3 1");
    stage_pass_s(&stage, 100);
    client_expect_nothing(&stage, client); /* no timeout after the answer */
}

static void wait_for_a_port_of_ga(void **state) {
    (void)state;
    client_send(&stage, client, "WAIT 1 GA 4 1 1 100\n");
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    client_expect_nothing(&stage, client);
    fake_host_cycle(&stage.host, 0, fake_is_open);
    client_expect(&stage, client, "100 INFO 1 GA 4 1 1");
}

static void wait_runs_out_in_layout_time(void **state) {
    (void)state;
    client_send(&stage, client, "WAIT 1 FB 3 1 30\n");
    stage_pass_s(&stage, 29);
    client_expect_nothing(&stage, client);
    stage_pass_s(&stage, 1);
    client_expect_whole(&stage, client, "1030.000 417 ERROR timeout");
    fake_host_cycle(&stage.host, 0, fake_is_open);
    client_expect_nothing(&stage, client);
}

static void wait_holds_its_own_session_only(void **state) {
    (void)state;
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_send(&stage, client, "WAIT 1 FB 3 1 100\nSET 1 GA 3 0 1 -1\nGET 1 FB 3\n");
    client_ask(&stage, other, "GET 1 GA 3 0", "100 INFO 1 GA 3 0 0");
    client_expect_nothing(&stage, client);
    assert_int_equal(stage.host.requests, 0);
    fake_host_cycle(&stage.host, 0, fake_is_open);
    client_expect(&stage, client, "100 INFO 1 FB 3 1");
    client_expect(&stage, client, "200 OK");
    client_expect(&stage, client, "100 INFO 1 FB 3 1");
    client_ask(&stage, other, "GET 1 GA 3 0", "100 INFO 1 GA 3 0 1");
}

/* What a client sends itself may bring about what it waits for elsewhere. */
static void request_of_one_session_ends_the_wait_of_another(void **state) {
    (void)state;
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_send(&stage, client, "WAIT 1 GA 3 0 1 100\nSET 1 GA 3 0 0 -1\n");
    stage_settle(&stage);
    client_ask(&stage, other, "SET 1 GA 3 0 1 -1", "200 OK");
    client_expect(&stage, client, "100 INFO 1 GA 3 0 1");
    client_expect(&stage, client, "200 OK");
    client_ask(&stage, other, "GET 1 GA 3 0", "100 INFO 1 GA 3 0 0");
}

static void wait_for_model_time(void **state) {
    (void)state;
    client_ask(&stage, client, "WAIT 0 TIME 0 0 0 0", "416 ERROR no data");
    client_ask(&stage, client, "INIT 0 TIME 60 1", "200 OK");
    client_ask(&stage, client, "SET 0 TIME 2 7 0 0", "200 OK");
    client_ask(&stage, client, "WAIT 0 TIME 1 23 0 0", "100 INFO 0 TIME 2 7 0 0"); /* past */
    client_send(&stage, client, "WAIT 0 TIME 2 7 10 0\n");
    stage_pass_s(&stage, 9);
    client_expect_nothing(&stage, client);
    stage_pass_s(&stage, 1);
    client_expect_whole(&stage, client, "1010.000 100 INFO 0 TIME 2 7 10 0");
}

static void wait_for_model_time_follows_the_clock(void **state) {
    (void)state;
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_ask(&stage, other, "INIT 0 TIME 1 1", "200 OK");
    client_send(&stage, client, "WAIT 0 TIME 0 1 0 0\n");
    stage_settle(&stage);
    client_ask(&stage, other, "INIT 0 TIME 60 1", "200 OK");
    stage_pass_s(&stage, 59);
    client_expect_nothing(&stage, client);
    stage_pass_s(&stage, 1);
    client_expect(&stage, client, "100 INFO 0 TIME 0 1 0 0");

    client_send(&stage, client, "WAIT 0 TIME 5 0 0 0\n");
    stage_settle(&stage);
    client_ask(&stage, other, "SET 0 TIME 6 0 0 0", "200 OK");
    client_expect(&stage, client, "100 INFO 0 TIME 6 0 0 0");

    client_send(&stage, client, "WAIT 0 TIME 9 0 0 0\n");
    stage_settle(&stage);
    client_ask(&stage, other, "TERM 0 TIME", "200 OK");
    client_expect(&stage, client, "416 ERROR no data");
}

static void waiting_client_that_leaves_leaves_nothing(void **state) {
    (void)state;
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_send(&stage, client, "WAIT 1 FB 3 1 100\n");
    stage_settle(&stage);
    client_leave(client, true);
    stage_settle(&stage);
    fake_host_cycle(&stage.host, 0, fake_is_open);
    stage_pass_s(&stage, 1000);
    client_ask(&stage, other, "GET 0 SESSION 1", "412 ERROR wrong value");
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, open_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(value_already_there_is_answered_at_once),
        ON_STAGE(wait_without_time_is_answered_at_once),
        ON_STAGE(wait_ends_in_the_cycle_that_brings_the_value),
        ON_STAGE(wait_for_a_port_of_ga),
        ON_STAGE(wait_runs_out_in_layout_time),
        ON_STAGE(wait_holds_its_own_session_only),
        ON_STAGE(request_of_one_session_ends_the_wait_of_another),
        ON_STAGE(wait_for_model_time),
        ON_STAGE(wait_for_model_time_follows_the_clock),
        ON_STAGE(waiting_client_that_leaves_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Hostile and unlucky clients: bounded input, bounded output, bounded sessions, and nobody else
 * held up. The limit of 1000 characters a line is recalled from SRCP 0.8.4, from memory; what
 * follows from breaking it is our decision. */
#include "net/registry.h"
#include "support/check.h"
#include "support/logged.h"
#include "support/net/net_stage.h"

#include <event2/event.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static struct net_stage stage;

/* A client that leaves its last answers unread is given up after some seconds; here it has hours,
 * so that a slow machine is not a slow client. */
void __real_timer_set(struct event *timer, uint64_t us);
void __wrap_timer_set(struct event *timer, uint64_t us);

void __wrap_timer_set(struct event *timer, uint64_t us) {
    static const uint64_t second_us = 1000000, hours_us = 36000000000;
    __real_timer_set(timer, us < second_us ? us : hours_us);
}

static int open_stage(void **state) {
    (void)state;
    stage_init(&stage, 1);
    stage.setup.backlog_bytes = 64 * 1024;
    stage.setup.sessions_max = 4;
    stage_open(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    return 0;
}

static void line_cut_anywhere_is_one_line(void **state) {
    (void)state;
    static const char line[] = "  GET\t1   GA 1  0 \r\n";
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (size_t cut = 0; cut < sizeof line - 1; cut++) {
        client_send_bytes(&stage, client, line, cut);
        stage_settle(&stage);
        client_send(&stage, client, line + cut);
        client_expect(&stage, client, "100 INFO 1 GA 1 0 1");
    }
    for (size_t i = 0; line[i] != '\0'; i++) {
        client_expect_nothing(&stage, client);
        client_send_bytes(&stage, client, line + i, 1);
    }
    client_expect(&stage, client, "100 INFO 1 GA 1 0 1");
}

static void line_without_end_is_never_worked_off(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_send(&stage, client, "SET 1 GA 1 1 1 -1");
    client_send_end(client);
    client_expect_end(&stage, client);
    assert_int_equal(stage.host.requests, 0);
}

static void long_line_is_dropped_and_the_session_lives(void **state) {
    (void)state;
    static const size_t lengths[] = {1000, 4096, 10000, 100000};
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        char *line = malloc(lengths[i] + 1);
        memset(line, 'G', lengths[i]);
        line[lengths[i]] = '\n';
        client_send_bytes(&stage, client, line, lengths[i] + 1);
        free(line);
        client_ask(&stage, client, "GET 1 FB 1", "418 ERROR list too long");
        client_expect(&stage, client, "100 INFO 1 FB 1 1");
    }
}

static void bytes_that_are_no_text_are_410(void **state) {
    (void)state;
    static const struct {
        const char *bytes;
        size_t length;
    } lines[] = {
        {"GET 1 FB 1\0\n", 12},         {"\0\n", 2},      {"GET\x80 1 FB 1\n", 12},
        {"GET 1 \xc3\xbc\x62 1\n", 12}, {"\x1b[2J\n", 5}, {"GET 1 FB\r1\n", 11},
        {"\xff\xfe\xfd\n", 4},
    };
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        client_send_bytes(&stage, client, lines[i].bytes, lines[i].length);
        client_expect(&stage, client, "410 ERROR unknown command");
    }
    client_ask(&stage, client, "GET 1 FB 1", "100 INFO 1 FB 1 1");
}

static void bad_lines_in_the_handshake_end_nothing(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    char line[2000];
    memset(line, 'x', sizeof line);
    line[sizeof line - 1] = '\n';
    client_line(&stage, client);
    client_send_bytes(&stage, client, line, sizeof line);
    client_expect(&stage, client, "418 ERROR list too long");
    client_send_bytes(&stage, client, "G\0O\n", 4);
    client_expect(&stage, client, "410 ERROR unknown command");
    client_send(&stage, client, "\n \n\r\n");
    client_ask(&stage, client, "GO", "200 OK GO 1");
}

/* A flood is answered line by line, in order, and another client has its turn meanwhile. */
static void flood_is_answered_and_holds_nobody_up(void **state) {
    (void)state;
    enum { LINES = 5000 };
    struct net_client *flooder = stage_commander(&stage, OPERATES);
    struct net_client *other = stage_commander(&stage, OPERATES);
    for (int i = 0; i < LINES; i++) {
        client_send(&stage, flooder, i % 2 == 0 ? "GET 1 FB 1\n" : "NONSENSE\n");
    }
    client_ask(&stage, other, "GET 1 FB 5", "100 INFO 1 FB 5 1");
    for (int i = 0; i < LINES; i++) {
        client_expect(&stage, flooder,
                      i % 2 == 0 ? "100 INFO 1 FB 1 1" : "410 ERROR unknown command");
    }
}

/* Sends a line again and again until nothing more is taken for a good while: the server has stopped
 * reading. Ends with a whole line; returns how many. */
static size_t send_until_unread(struct net_client *client, const char *line) {
    enum { ROUNDS = 20, MOST = 16 * 1024 * 1024 };
    size_t length = strlen(line);
    size_t sent = 0;
    for (unsigned idle = 0; idle < ROUNDS; idle++) {
        for (size_t count = 1; count > 0;) {
            count = client_try_send(client, line + sent % length, length - sent % length);
            sent += count;
            idle = count > 0 ? 0 : idle;
        }
        assert_true(sent < MOST);
        stage_settle(&stage);
    }
    return sent / length;
}

static void client_that_reads_no_answers_is_left_unread(void **state) {
    (void)state;
    struct net_client *deaf = stage_connect_slow(&stage, OPERATES);
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_send(&stage, deaf, "GO\n");
    size_t lines = send_until_unread(deaf, "GET 1 FB 1\n");
    client_ask(&stage, other, "GET 1 FB 5", "100 INFO 1 FB 5 1");
    /* It was only held up: when it reads, every whole line has its answer. */
    client_start_reading(&stage, deaf);
    client_line(&stage, deaf);
    client_line(&stage, deaf);
    for (size_t i = 0; i < lines; i++) {
        client_expect(&stage, deaf, "100 INFO 1 FB 1 1");
    }
}

static void waiting_client_is_not_read_without_bound(void **state) {
    (void)state;
    struct net_client *client = stage_connect_slow(&stage, OPERATES);
    client_send(&stage, client, "GO\nWAIT 1 FB 3 1 1000\n");
    size_t lines = send_until_unread(client, "GET 1 FB 3\n");
    fake_host_cycle(&stage.host, 0, fake_is_open);
    client_start_reading(&stage, client);
    client_line(&stage, client);
    client_line(&stage, client);
    for (size_t i = 0; i < 1 + lines; i++) {
        client_expect(&stage, client, "100 INFO 1 FB 3 1");
    }
}

/* Its end lies behind what is not read: it must be seen all the same, and wake nobody before. */
static void waiting_client_with_much_ahead_is_seen_to_leave(void **state) {
    (void)state;
    struct net_client *watcher = stage_listener(&stage);
    for (unsigned i = 0; i < 2; i++) {
        struct net_client *client = stage_connect_slow(&stage, OPERATES);
        client_send(&stage, client, "GO\nWAIT 1 FB 3 1 1000\n");
        send_until_unread(client, "GET 1 FB 3\n");
        assert_non_null(strstr(client_line(&stage, watcher), " 101 INFO 0 SESSION "));
        stage_settle(&stage);
        client_leave(client, i == 0);
        assert_non_null(strstr(client_line(&stage, watcher), " 102 INFO 0 SESSION "));
        stage_settle(&stage);
    }
}

/* The listener stops reading; changes go on until it is ended. The other one misses nothing. */
static void slow_info_reader_is_ended_and_the_others_go_on(void **state) {
    (void)state;
    logged_begin();
    struct net_client *watcher = stage_listener(&stage);
    struct net_client *slow = stage_connect_slow(&stage, OBSERVES);
    client_send(&stage, slow, "SET CONNECTIONMODE SRCP INFO\nGO\n");
    client_expect(&stage, watcher, "101 INFO 0 SESSION 2 INFO");
    bool is_ended = false;
    for (unsigned i = 0; !is_ended; i++) {
        assert_true(i < 1000000);
        fake_host_cycle(&stage.host, 0,
                        i % 2 == 0 ? fake_sees_train_approach : fake_sees_train_gone);
        const char *line = client_line(&stage, watcher);
        is_ended = strstr(line, "102 INFO 0 SESSION 2") != NULL;
        if (!is_ended) {
            assert_non_null(
                strstr(line, i % 2 == 0 ? "100 INFO 1 FB 101 1" : "100 INFO 1 FB 101 0"));
        }
    }
    client_start_reading(&stage, slow);
    while (client_line(&stage, slow) != NULL) {
    }
    logged_end();
    assert_true(slow->is_at_end);
    assert_int_equal(
        logged_lines("warning session 2, by 127.0.0.1: ended: the client does not read"), 1);
    assert_int_equal(logged_lines("ended"), 1);
}

/* Whoever just leaves, or is sent away, is not worth a line. */
static void client_that_leaves_is_not_logged(void **state) {
    (void)state;
    logged_begin();
    client_leave(stage_listener(&stage), true);
    stage_settle(&stage);
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "TERM 0 SESSION", "200 OK");
    client_expect_end(&stage, client);
    client_leave(client, false);
    stage_settle(&stage);
    logged_end();
    assert_int_equal(logged_lines(""), 0);
}

/* What is for one session alone is bounded as well. */
static void slow_listener_is_not_sent_messages_without_bound(void **state) {
    (void)state;
    struct net_client *slow = stage_connect_slow(&stage, OBSERVES);
    client_send(&stage, slow, "SET CONNECTIONMODE SRCP INFO\nGO\n");
    stage_settle(&stage);
    struct net_client *sender = stage_commander(&stage, OPERATES);
    char line[900];
    snprintf(line, sizeof line, "SET 0 GM 1 0 CREW %0800d\n", 0);
    bool is_ended = false;
    for (unsigned i = 0; !is_ended; i++) {
        assert_true(i < 100000);
        client_send(&stage, sender, line);
        is_ended = strstr(client_line(&stage, sender), " 412 ") != NULL;
    }
    client_ask(&stage, sender, "GET 0 SESSION 1", "412 ERROR wrong value");
}

static void session_too_many_is_out_of_resources(void **state) {
    (void)state;
    struct net_client *clients[4];
    for (size_t i = 0; i < 4; i++) {
        clients[i] = stage_commander(&stage, OPERATES);
    }
    struct net_client *late = stage_connect(&stage, OPERATES);
    client_line(&stage, late);
    client_ask(&stage, late, "GO", "500 ERROR out of resources");
    client_ask(&stage, clients[2], "TERM 0 SESSION", "200 OK");
    client_expect_end(&stage, clients[2]);
    client_ask(&stage, late, "GO", "200 OK GO 5");
}

enum { SESSIONS = 4, SPARE = 16 };

/* Half a handshake. */
static struct net_client *shake_from(const char *address) {
    stage_from(&stage, address);
    struct net_client *client = stage_connect(&stage, OPERATES);
    stage_from(&stage, NULL);
    client_expect_whole(&stage, client, "drawtender 0.0; SRCP 0.8.4; SRCPOTHER 0.8.3");
    client_send(&stage, client, "SET CONNECTIONMODE SRCP");
    return client;
}

/* Connections that never finish their handshake are bounded too, 16 more than sessions: for the
 * next one the oldest is told so and ended, and the next one has its session. */
static void half_open_clients_make_room(void **state) {
    (void)state;
    struct net_client *half[SESSIONS + SPARE];
    struct net_client *session = stage_commander(&stage, OPERATES);
    for (size_t i = 1; i < SESSIONS + SPARE; i++) {
        half[i] = shake_from("127.0.0.1");
    }
    struct net_client *late = stage_commander(&stage, OPERATES);
    client_expect(&stage, half[1], "500 ERROR out of resources");
    client_expect_end(&stage, half[1]);
    client_ask(&stage, late, "SET 1 GA 1 3 1 -1", "200 OK");
    client_ask(&stage, session, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    client_send(&stage, half[2], " COMMAND\n");
    client_expect(&stage, half[2], "202 OK CONNECTIONMODE");
}

/* Those that are told so and do not go are bounded as well. */
static void many_half_open_clients_leave_no_one_outside(void **state) {
    (void)state;
    enum { HALVES = 3 * (SESSIONS + 2 * SPARE) };
    for (size_t i = 0; i < HALVES; i++) {
        shake_from("127.0.0.1");
        assert_true(stage.server->clients <= SESSIONS + 2 * SPARE);
    }
    struct net_client *late = stage_commander(&stage, OPERATES);
    client_ask(&stage, late, "SET 1 GA 1 3 1 -1", "200 OK");
}

/* They have ended, and do not go: those are bounded too. */
static void many_that_end_and_stay_leave_no_one_outside(void **state) {
    (void)state;
    for (size_t i = 0; i < 3 * (SESSIONS + SPARE); i++) {
        struct net_client *client = stage_connect(&stage, OPERATES);
        client_line(&stage, client);
        client_ask(&stage, client, "TERM 0 SESSION", "200 OK");
        assert_true(stage.server->clients <= SESSIONS + 2 * SPARE);
    }
    stage_commander(&stage, OPERATES);
}

/* However many come from elsewhere, and however slow it is. */
static void half_open_client_alone_at_its_address_stays(void **state) {
    (void)state;
    struct net_client *alone = shake_from("127.0.0.7");
    for (size_t i = 0; i < 2 * (SESSIONS + SPARE); i++) {
        shake_from("127.0.0.1");
    }
    client_send(&stage, alone, " COMMAND\nGO\n");
    client_expect(&stage, alone, "202 OK CONNECTIONMODE");
    client_expect(&stage, alone, "200 OK GO 1");
}

/* Sessions are never ended for it. */
static void session_stays_where_half_open_clients_come(void **state) {
    (void)state;
    struct net_client *session[SESSIONS];
    for (size_t i = 0; i < SESSIONS; i++) {
        session[i] = stage_commander(&stage, OPERATES);
    }
    for (size_t i = 0; i < 2 * SPARE; i++) {
        shake_from("127.0.0.1");
    }
    for (size_t i = 0; i < SESSIONS; i++) {
        client_ask(&stage, session[i], "GET 1 FB 1", "100 INFO 1 FB 1 1");
    }
}

static void what_lies_unread_is_bounded(void **state) {
    (void)state;
    int bytes = 0;
    socklen_t length = sizeof bytes;
    int fd = stage.server->listener[OPERATES].coming.fd; /* its clients have it from there */
    assert_int_equal(getsockopt(fd, SOL_SOCKET, SO_RCVBUF, &bytes, &length), 0);
    assert_true(bytes <= 2 * 32 * 1024); /* Linux doubles it: socket(7) */
}

static void clients_come_and_go_without_end(void **state) {
    (void)state;
    struct net_client *keeper = stage_commander(&stage, OPERATES);
    for (unsigned i = 0; i < 100; i++) {
        struct net_client *client = stage_connect(&stage, OPERATES);
        if (i % 3 == 0) {
            client_send(&stage, client, "GO\nSET 1 LOCK GA 1 0\nWAIT 1 FB 3 1 50\n");
            stage_settle(&stage);
        }
        client_leave(client, i % 2 == 0);
        stage_settle(&stage);
    }
    client_ask(&stage, keeper, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0");
}

/* Answers still on their way would be lost if the server closed on unread input. */
static void client_that_sends_on_after_the_end_is_drained(void **state) {
    (void)state;
    enum { PIECES = 300 };
    static const char piece[4000];
    struct net_client *client = stage_connect_slow(&stage, OPERATES);
    client_send(&stage, client, "GO\nTERM 0 SESSION\n");
    for (unsigned i = 0; i < PIECES; i++) {
        stage_settle(&stage);
        assert_true(client_try_send(client, piece, sizeof piece) > 0);
    }
    client_start_reading(&stage, client);
    client_line(&stage, client);
    client_expect(&stage, client, "200 OK GO 1");
    client_expect(&stage, client, "200 OK");
    client_expect_end(&stage, client);
}

static void chattering_listener_is_seen_to_leave(void **state) {
    (void)state;
    struct net_client *watcher = stage_listener(&stage);
    struct net_client *chatterer = stage_listener(&stage);
    client_expect(&stage, watcher, "101 INFO 0 SESSION 2 INFO");
    static const char piece[100000];
    client_send_bytes(&stage, chatterer, piece, sizeof piece);
    client_leave(chatterer, false);
    client_expect(&stage, watcher, "102 INFO 0 SESSION 2");
}

/* The end of what it sent is seen, while what it sent is not yet worked off. */
static void half_closed_client_that_reads_nothing_costs_nothing(void **state) {
    (void)state;
    enum { LINES_A_ROUND = 20, MOST = 1000000 };
    struct net_client *deaf = stage_connect_slow(&stage, OPERATES);
    client_send(&stage, deaf, "GO\n");
    unsigned lines = 0;
    while (stage.host.requests == lines) { /* until some are left lying */
        for (unsigned i = 0; i < LINES_A_ROUND; i++) {
            client_send(&stage, deaf, "SET 1 GA 3 0 1 -1\n");
        }
        lines += LINES_A_ROUND;
        assert_true(lines < MOST);
        stage_settle(&stage);
    }
    client_send_end(deaf);
    stage_settle(&stage);
    client_start_reading(&stage, deaf);
    client_line(&stage, deaf);
    client_line(&stage, deaf);
    for (unsigned i = 0; i < lines; i++) {
        client_expect(&stage, deaf, "200 OK");
    }
    client_expect_end(&stage, deaf);
}

static int count_timer(const struct event_base *base, const struct event *event, void *context) {
    (void)base;
    unsigned *timers = context;
    *timers += event_pending(event, EV_TIMEOUT, NULL) != 0;
    return 0;
}

/* Nobody is served by polling: idle, deaf or held up, no client makes a timer run. */
static void nothing_wakes_the_server_at_rest(void **state) {
    (void)state;
    struct net_client *idle = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    struct net_client *deaf = stage_connect_slow(&stage, OPERATES);
    client_ask(&stage, idle, "SET 1 LOCK GA 1 0", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 0 1");
    client_send(&stage, deaf, "GO\n");
    send_until_unread(deaf, "GET 1 FB 1\n");
    struct net_client *leaver = stage_commander(&stage, OPERATES);
    client_line(&stage, listener);
    client_send(&stage, leaver, "SET 1 LOCK GA 2 60\nWAIT 1 FB 3 1 60\n");
    stage_settle(&stage);
    client_leave(leaver, true);
    stage_settle(&stage);
    client_send(&stage, idle, "WAIT 1 FB 101 1 60\n");
    stage_settle(&stage);
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    client_expect(&stage, idle, "100 INFO 1 FB 101 1");
    stage_settle(&stage);
    unsigned timers = 0;
    event_base_foreach_event(stage.base, count_timer, &timers);
    assert_int_equal(timers, 0);

    client_ask(&stage, idle, "INIT 0 TIME 1 1", "200 OK"); /* somebody listens */
    event_base_foreach_event(stage.base, count_timer, &timers);
    assert_int_equal(timers, 1);
    client_leave(listener, true);
    stage_settle(&stage);
    timers = 0;
    event_base_foreach_event(stage.base, count_timer, &timers);
    assert_int_equal(timers, 0);
}

static void server_goes_down_with_everything_in_flight(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_send(&stage, client,
                "SET 1 LOCK GA 1 60\nSET 1 GA 3 0 1 5000\nINIT 0 TIME 1 1\n"
                "WAIT 1 FB 3 1 50\nGET 1 FB 3\nGET 1");
    struct net_client *listener = stage_listener(&stage);
    (void)listener;
    stage_settle(&stage);
} /* the teardown frees: the sanitizers look on */

static void port_in_use_and_bad_address_are_said(void **state) {
    (void)state;
    struct net_setup setup = stage.setup;
    struct net_host host = fake_host_interface(&stage.host);
    struct error error = {.where = ""};
    setup.listener[1].port = net_server_port(stage.server, 0);
    assert_null(net_server_new(stage.base, &setup, &host, &error));
    assert_non_null(strstr(error.where, "127.0.0.1 port"));
    assert_non_null(strstr(error.what, "cannot listen: Address already in use"));
    setup.listener[1] = (struct net_listener_setup){.address = "localhost"};
    assert_null(net_server_new(stage.base, &setup, &host, &error));
    assert_string_equal(error.what, "not a numeric IPv4 or IPv6 address, nor a path");
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, open_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(line_cut_anywhere_is_one_line),
        ON_STAGE(line_without_end_is_never_worked_off),
        ON_STAGE(long_line_is_dropped_and_the_session_lives),
        ON_STAGE(bytes_that_are_no_text_are_410),
        ON_STAGE(bad_lines_in_the_handshake_end_nothing),
        ON_STAGE(flood_is_answered_and_holds_nobody_up),
        ON_STAGE(client_that_reads_no_answers_is_left_unread),
        ON_STAGE(waiting_client_is_not_read_without_bound),
        ON_STAGE(waiting_client_with_much_ahead_is_seen_to_leave),
        ON_STAGE(slow_info_reader_is_ended_and_the_others_go_on),
        ON_STAGE(client_that_leaves_is_not_logged),
        ON_STAGE(slow_listener_is_not_sent_messages_without_bound),
        ON_STAGE(session_too_many_is_out_of_resources),
        ON_STAGE(half_open_clients_make_room),
        ON_STAGE(many_half_open_clients_leave_no_one_outside),
        ON_STAGE(many_that_end_and_stay_leave_no_one_outside),
        ON_STAGE(half_open_client_alone_at_its_address_stays),
        ON_STAGE(session_stays_where_half_open_clients_come),
        ON_STAGE(what_lies_unread_is_bounded),
        ON_STAGE(clients_come_and_go_without_end),
        ON_STAGE(client_that_sends_on_after_the_end_is_drained),
        ON_STAGE(chattering_listener_is_seen_to_leave),
        ON_STAGE(half_closed_client_that_reads_nothing_costs_nothing),
        ON_STAGE(nothing_wakes_the_server_at_rest),
        ON_STAGE(server_goes_down_with_everything_in_flight),
        ON_STAGE(port_in_use_and_bad_address_are_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

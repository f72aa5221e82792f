#include "support/lcc/other_nodes.h"

#include "support/check.h"

#include <netinet/in.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* Alias 2A5 for all of them. */
#define REPORT ":X195B42A5N"
static const char to_proceed[] = "0A44520000410000", to_stop[] = "0A44520000410001";
static const char not_at_stop[] = "0A44520000410100", at_stop[] = "0A44520000410101";
static const char occupied[] = "0A44520000420000", clear[] = "0A44520000420001";

static void send_frame(struct other_nodes *nodes, const char *head, const char *event) {
    char frame[64];
    int length = snprintf(frame, sizeof frame, "%s%s;\n", head, event);
    if (nodes->client >= 0) {
        ssize_t sent = send(nodes->client, frame, (size_t)length, MSG_NOSIGNAL);
        (void)sent;
    }
}

static void show(struct other_nodes *nodes, bool is_at_proceed) {
    pthread_mutex_lock(&nodes->lock);
    bool was_at_proceed = atomic_exchange(&nodes->is_at_proceed, is_at_proceed);
    pthread_cond_broadcast(&nodes->shown);
    pthread_mutex_unlock(&nodes->lock);
    if (was_at_proceed != is_at_proceed) {
        send_frame(nodes, REPORT, is_at_proceed ? not_at_stop : at_stop);
    }
}

static void answer(struct other_nodes *nodes, const char *event) {
    const struct {
        const char *event;
        bool holds;
    } rows[] = {{at_stop, !nodes->is_at_proceed},
                {not_at_stop, nodes->is_at_proceed},
                {clear, !nodes->is_occupied},
                {occupied, nodes->is_occupied}};
    for (unsigned i = 0; i < 4; i++) {
        if (strcmp(rows[i].event, event) == 0) {
            send_frame(nodes, rows[i].holds ? ":X195442A5N" : ":X195452A5N", event);
        }
    }
}

/* ":X195B44F7N0A44520000410001;": an event is reported, or asked for. */
static void take(struct other_nodes *nodes, const char *frame) {
    char event[17];
    if (sscanf(frame, ":X195B4%*3cN%16[0-9A-F];", event) == 1) {
        if (strcmp(event, to_stop) == 0) {
            nodes->stops++;
            show(nodes, false);
        } else if (strcmp(event, to_proceed) == 0) {
            show(nodes, true);
        }
    } else if (sscanf(frame, ":X19914%*3cN%16[0-9A-F];", event) == 1) {
        answer(nodes, event);
    }
}

static void read_on(struct other_nodes *nodes) {
    ssize_t got =
        recv(nodes->client, nodes->text + nodes->length, sizeof nodes->text - nodes->length - 1, 0);
    if (got <= 0) {
        close(nodes->client);
        nodes->client = -1;
        return;
    }
    nodes->length += (unsigned)got;
    nodes->text[nodes->length] = '\0';
    char *from = nodes->text, *end;
    while ((end = strchr(from, ';')) != NULL) {
        char *begin = memchr(from, ':', (size_t)(end - from));
        *end = '\0';
        if (begin != NULL) {
            take(nodes, begin);
        }
        from = end + 1;
    }
    nodes->length -= (unsigned)(from - nodes->text);
    memmove(nodes->text, from, nodes->length);
}

static bool take_order(struct other_nodes *nodes) {
    char event[17] = "";
    if (read(nodes->orders[0], event, 16) != 16) {
        return false;
    }
    nodes->is_occupied =
        strcmp(event, occupied) == 0 || (nodes->is_occupied && strcmp(event, clear) != 0);
    send_frame(nodes, REPORT, event);
    return true;
}

static void *run(void *context) {
    struct other_nodes *nodes = context;
    bool goes_on = true;
    while (goes_on) {
        struct pollfd fds[3] = {{.fd = nodes->orders[0], .events = POLLIN},
                                {.fd = nodes->listening, .events = POLLIN},
                                {.fd = nodes->client, .events = POLLIN}};
        poll(fds, 3, -1);
        if (fds[1].revents != 0 && nodes->client < 0) {
            nodes->client = accept(nodes->listening, NULL, NULL);
            nodes->length = 0;
        }
        if (fds[2].revents != 0 && nodes->client >= 0) {
            read_on(nodes);
        }
        goes_on = fds[0].revents == 0 || take_order(nodes);
    }
    if (nodes->client >= 0) {
        close(nodes->client);
    }
    close(nodes->listening);
    return NULL;
}

void other_nodes_start(struct other_nodes *nodes) {
    struct sockaddr_in own = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof own;
    memset(nodes, 0, sizeof *nodes);
    nodes->client = -1;
    nodes->is_at_proceed = true;
    nodes->listening = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_int_equal(bind(nodes->listening, (const struct sockaddr *)&own, size), 0);
    assert_int_equal(getsockname(nodes->listening, (struct sockaddr *)&own, &size), 0);
    assert_int_equal(listen(nodes->listening, 4), 0);
    nodes->port = ntohs(own.sin_port);
    assert_int_equal(pipe(nodes->orders), 0);
    assert_int_equal(pthread_mutex_init(&nodes->lock, NULL), 0);
    assert_int_equal(pthread_cond_init(&nodes->shown, NULL), 0);
    assert_int_equal(pthread_create(&nodes->thread, NULL, run, nodes), 0);
}

void other_nodes_report(struct other_nodes *nodes, const char *event) {
    assert_int_equal(write(nodes->orders[1], event, 16), 16);
}

void other_nodes_await_signal(struct other_nodes *nodes, bool is_at_proceed) {
    pthread_mutex_lock(&nodes->lock);
    while (nodes->is_at_proceed != is_at_proceed) {
        pthread_cond_wait(&nodes->shown, &nodes->lock);
    }
    pthread_mutex_unlock(&nodes->lock);
}

void other_nodes_end(struct other_nodes *nodes) {
    close(nodes->orders[1]);
    assert_int_equal(pthread_join(nodes->thread, NULL), 0);
    close(nodes->orders[0]);
    pthread_cond_destroy(&nodes->shown);
    pthread_mutex_destroy(&nodes->lock);
}

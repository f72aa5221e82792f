#include "net/session/connections.h"

#include "base/log.h"
#include "sockets/timer.h"

/* In one turn: each costs a system call or a few, some 10 us. */
enum { DUE_A_TURN = 4, LISTENERS_A_TURN = 4 };

uint64_t connections_news(const struct connections *all) {
    return all->news_from + all->news.length;
}

static void serve_due(struct connections *all) {
    for (unsigned i = 0; i < DUE_A_TURN && !TAILQ_EMPTY(&all->due); i++) {
        struct connection_link *link = TAILQ_FIRST(&all->due);
        link->turn(link);
    }
}

static void begin_round(struct connections *all) {
    all->is_round_due = false;
    all->next_listener = TAILQ_FIRST(&all->listeners);
    all->oldest = connections_news(all);
}

/* What every listener has is needed no more. */
static void end_round(struct connections *all) {
    size_t had = (size_t)(all->oldest - all->news_from);
    bytes_drop(&all->news, had);
    all->news_from += had;
}

static void bring_news(struct connections *all) {
    if (all->next_listener == NULL && all->is_round_due) {
        begin_round(all);
    }
    for (unsigned i = 0; i < LISTENERS_A_TURN && all->next_listener != NULL; i++) {
        struct connection_link *link = all->next_listener;
        all->next_listener = TAILQ_NEXT(link, listening);
        uint64_t has = link->hear_news(link);
        all->oldest = has < all->oldest ? has : all->oldest;
    }
    if (all->next_listener == NULL) {
        end_round(all);
    }
}

static void take_turn(void *context) {
    struct connections *all = context;
    serve_due(all);
    if (all->next_listener != NULL || all->is_round_due) {
        bring_news(all);
    }
    if (!TAILQ_EMPTY(&all->due) || all->next_listener != NULL || all->is_round_due) {
        sockets_ask_for_turn(&all->sockets);
    }
}

bool connections_init(struct connections *all, struct event_base *base, bool must_rest) {
    *all = (struct connections){.base = base};
    TAILQ_INIT(&all->due);
    TAILQ_INIT(&all->listeners);
    return sockets_init(&all->sockets, base, must_rest, take_turn, all);
}

void connections_free(struct connections *all) {
    sockets_free(&all->sockets);
    bytes_drop(&all->news, all->news.length);
}

/* No memory for the news: sessions that would miss some had better reconnect. */
static void break_all(struct connections *all) {
    log_line(LOG_WARNING, "out of memory: closing all INFO sessions");
    struct connection_link *link;
    TAILQ_FOREACH(link, &all->listeners, listening) {
        link->lose(link);
    }
}

void connections_notify(struct connections *all, const char *bytes, size_t length) {
    if (TAILQ_EMPTY(&all->listeners)) {
        return;
    }
    if (!bytes_add(&all->news, bytes, length)) {
        break_all(all);
        return;
    }
    all->is_round_due = true;
    sockets_ask_for_turn(&all->sockets);
}

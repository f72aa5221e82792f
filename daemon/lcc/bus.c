#include "lcc/bus.h"

#include "base/log.h"
#include "base/time_limit.h"
#include "base/who.h"
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/message.h"
#include "sockets/timer.h"

#include <event2/event.h>
#include <stdio.h>

int32_t lcc_link_who(struct lcc_link *link) {
    const struct lcc_host *host = link->bus->host;
    if (link->who == 0) {
        char words[LCC_LINK_NAME_SIZE + 32];
        link->who = WHO_VISITOR_LEAST - (int32_t)(link->number % 1000000000);
        snprintf(words, sizeof words, "LCC, may %s, by %s",
                 link->right == NET_OBSERVE ? "observe" : "operate", link->name);
        host->visitor(host->context, link->who, true, words);
    }
    return link->who;
}

static void turn_came(void *context) {
    bus_work(context);
}

static void due_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    bus_work(context);
}

bool bus_init(struct bus *bus, struct event_base *base, const struct lcc_host *host) {
    bus->base = base;
    bus->host = host;
    TAILQ_INIT(&bus->links);
    bus->due = evtimer_new(base, due_came, bus);
    return sockets_init(&bus->sockets, base, host->must_rest, turn_came, bus) && bus->due != NULL;
}

void bus_free(struct bus *bus) {
    for (unsigned i = 0; i < bus->members; i++) {
        member_free(bus->member[i]);
    }
    if (bus->due != NULL) {
        event_free(bus->due);
    }
    sockets_free(&bus->sockets);
}

void bus_renew(struct bus *bus) {
    for (unsigned i = 0; i < bus->members; i++) {
        lcc_node_start(&bus->member[i]->node);
    }
    bus_ask_for_turn(bus);
}

void bus_start(struct bus *bus, bool is_open) {
    bus->is_open = is_open;
    if (is_open) {
        bus_renew(bus);
    }
}

void bus_join(struct bus *bus, struct lcc_link *link, bool is_new_bus) {
    link->bus = bus;
    link->number = ++bus->last_number;
    link->who = 0;
    link->echoes = (struct echo_count){0};
    TAILQ_INSERT_TAIL(&bus->links, link, others);
    log_line(LOG_NOTICE, "LCC: %s is up", link->name);
    bus->host->links(bus->host->context, ++bus->up);
    if (is_new_bus) {
        bus_renew(bus);
    }
    bus_ask_for_turn(bus);
}

void bus_leave(struct lcc_link *link) {
    struct bus *bus = link->bus;
    if (bus == NULL) {
        return;
    }
    log_line(LOG_NOTICE, "LCC: %s is down", link->name);
    TAILQ_REMOVE(&bus->links, link, others);
    bus->host->links(bus->host->context, --bus->up);
    if (link->who != 0) {
        bus->host->visitor(bus->host->context, link->who, false, "");
    }
    link->bus = NULL;
    bus_ask_for_turn(bus); /* lines of other nodes may be lost */
    for (unsigned i = 0; i < bus->members && !bus->is_open && TAILQ_EMPTY(&bus->links); i++) {
        lcc_node_stop(&bus->member[i]->node);
    }
}

/* Reported, or said to hold by its producer: the same (Broadcast Time S). */
static void follow_clock(struct bus *bus, const struct lcc_frame *frame, uint64_t now_us) {
    struct lcc_frame_head head;
    lcc_frame_read(frame, &head);
    if (head.kind == LCC_FRAME_GLOBAL && head.payload_length == LCC_EVENT_BYTES &&
        (head.mti == LCC_EVENT_REPORT || head.mti == LCC_PRODUCER_VALID) &&
        lcc_clock_take(&bus->clock, lcc_get(head.payload, LCC_EVENT_BYTES), now_us) &&
        bus->clock.is_known) {
        bus->host->clock(bus->host->context, &bus->clock, now_us);
    }
}

/* Both of whom may be NULL. */
static void distribute(struct bus *bus, const struct lcc_frame *frame,
                       const struct lcc_link *from_link, const struct member *from_member,
                       struct lcc_origin origin) {
    struct lcc_link *link;
    TAILQ_FOREACH(link, &bus->links, others) {
        if (link != from_link) {
            link->send(link, frame);
        }
    }
    uint64_t now_us = time_limit_clock_us();
    if (bus->clock.base != 0 && from_link != NULL) {
        follow_clock(bus, frame, now_us);
    }
    for (unsigned i = 0; i < bus->members; i++) {
        if (bus->member[i] != from_member) {
            member_take(bus->member[i], now_us, frame, origin);
        }
    }
}

static struct lcc_link *find_link(void *context, unsigned number) {
    const struct bus *bus = context;
    struct lcc_link *link;
    TAILQ_FOREACH(link, &bus->links, others) {
        if (link->number == number) {
            return link;
        }
    }
    return NULL;
}

/* Whoever has left and come back says nothing twice. */
static bool is_echo(struct bus *bus, struct lcc_link *link, const struct lcc_frame *frame) {
    uint64_t now_us = time_limit_clock_us();
    const struct echo_frame *seen = echo_find(&bus->echo, frame, link->number, now_us);
    if (seen == NULL || (seen->link != 0 && find_link(bus, seen->link) == NULL)) {
        return false;
    }
    if (echo_count(&link->echoes, now_us)) {
        log_line(LOG_ERROR,
                 "LCC: %s: frames come back by another way: a network must be a tree, so take one "
                 "of the connections away; until then they are passed over here",
                 link->name);
    }
    return echo_is_dropped(&link->echoes, frame);
}

void bus_take(struct lcc_link *link, const struct lcc_frame *frame) {
    if (is_echo(link->bus, link, frame)) {
        return;
    }
    const struct lcc_origin origin = {link->number, link->right != NET_OBSERVE};
    distribute(link->bus, frame, link, NULL, origin);
}

/* One bridge's events are requests to another of the same daemon: who configured both meant it. */
static bool send_one(struct bus *bus, struct member *member) {
    struct lcc_frame frame;
    bool is_sent = lcc_node_next(&member->node, time_limit_clock_us(), &frame);
    if (is_sent) {
        echo_find(&bus->echo, &frame, 0, time_limit_clock_us());
        distribute(bus, &frame, NULL, member, (struct lcc_origin){0, true});
    }
    return is_sent;
}

static void set_timer(struct bus *bus) {
    uint64_t due_us = UINT64_MAX;
    for (unsigned i = 0; i < bus->members; i++) {
        uint64_t own_us = lcc_node_due_us(&bus->member[i]->node);
        due_us = own_us < due_us ? own_us : due_us;
    }
    if (due_us == UINT64_MAX) {
        evtimer_del(bus->due);
        return;
    }
    uint64_t now_us = time_limit_clock_us();
    timer_set(bus->due, due_us > now_us ? due_us - now_us : 0);
}

void bus_work(struct bus *bus) {
    enum { FRAMES_A_TURN = 64 }; /* then bridges and others have theirs */
    for (unsigned i = 0; i < bus->members && !bus->is_ending; i++) {
        member_ask(bus->member[i], time_limit_clock_us(), find_link, bus);
    }
    unsigned sent = 0;
    for (bool is_any = true; is_any && sent < FRAMES_A_TURN; sent++) {
        is_any = false;
        for (unsigned i = 0; i < bus->members; i++) {
            is_any = send_one(bus, bus->member[i]) || is_any;
        }
    }
    struct lcc_link *link;
    TAILQ_FOREACH(link, &bus->links, others) {
        link->flush(link);
    }
    set_timer(bus);
    if (bus->has_lines && !bus->is_ending) {
        bus->host->lines_came(bus->host->context);
    }
}

void bus_ask_for_turn(struct bus *bus) {
    sockets_ask_for_turn(&bus->sockets);
}

#include "net/clock/fast_clock.h"

#include "net/devices/lines.h"
#include "net/session/wait.h"

static void tell_time(struct net_server *server) {
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line, line_time(line, server));
}

static void tell_rate(struct net_server *server) {
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line, line_time_rate(line, server));
}

static void minute_came(void *context) {
    struct net_server *server = context;
    tell_time(server);
    fast_clock_arm(server);
}

bool fast_clock_init(struct net_server *server) {
    return layout_timer_init(&server->minute, server->base, &server->host, minute_came, server);
}

void fast_clock_free(struct net_server *server) {
    layout_timer_free(&server->minute);
}

void fast_clock_arm(struct net_server *server) {
    if (server->clock.is_running && server->listening > 0) {
        layout_timer_set(&server->minute,
                         model_clock_next_minute(&server->clock, server_now_us(server)));
    } else {
        layout_timer_cancel(&server->minute);
    }
}

static void changed(struct net_server *server) {
    fast_clock_arm(server);
    wait_see_clock(server);
    if (server->host.clock_changed != NULL) {
        server->host.clock_changed(server->host.context);
    }
}

void fast_clock_start(struct net_server *server, uint32_t fx, uint32_t fy) {
    model_clock_start(&server->clock, server_now_us(server), fx, fy);
    server->clock_started_us = server_now_us(server);
    tell_rate(server);
    tell_time(server);
    changed(server);
}

void fast_clock_set(struct net_server *server, const struct model_time *time) {
    if (!server->clock.is_running) {
        model_clock_start(&server->clock, server_now_us(server), 1, 1);
        server->clock_started_us = server_now_us(server);
        tell_rate(server);
    }
    model_clock_set(&server->clock, server_now_us(server), time);
    tell_time(server);
    changed(server);
}

static bool is_same_minute(const struct model_time *a, const struct model_time *b) {
    return a->day == b->day && a->hour == b->hour && a->minute == b->minute;
}

void fast_clock_follow(struct net_server *server, const struct net_clock *layout) {
    struct model_clock *clock = &server->clock;
    uint64_t now_us = server_now_us(server);
    const struct model_clock was = *clock;
    model_clock_follow(clock, now_us, layout->model_us, layout->fx, layout->fy);
    if (!was.is_running || was.fx != clock->fx || was.fy != clock->fy) {
        server->clock_started_us = now_us;
        tell_rate(server);
    }
    struct model_time time = model_clock_read(clock, now_us);
    struct model_time told = was.is_running ? model_clock_read(&was, now_us) : time;
    if (!was.is_running || !is_same_minute(&time, &told)) {
        tell_time(server);
    }
    changed(server);
}

void fast_clock_stop(struct net_server *server) {
    if (!server->clock.is_running) {
        return;
    }
    model_clock_stop(&server->clock);
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line, srcp_info_time_ended(line, server_now_us(server)));
    changed(server);
}

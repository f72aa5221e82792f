#include "net/session/dump.h"

#include "net/devices/device_lock.h"
#include "net/devices/lines.h"
#include "net/devices/message.h"
#include "net/session/session.h"

static void dump_description(struct session *session, const struct srcp_bus *bus) {
    char line[SRCP_REPLY_SIZE];
    uint64_t started_us = session->server->started_us;
    session_send(session, line, srcp_info_description(line, started_us, bus->bus, bus->groups));
}

static void dump_server(struct session *session) {
    struct net_server *server = session->server;
    char line[SRCP_REPLY_SIZE];
    session_send(session, line, srcp_info_server(line, server->state_since_us, server->state));
    struct session *other;
    TAILQ_FOREACH(other, &server->sessions, link) {
        if (other->is_running) {
            session_send(
                session, line,
                srcp_info_session_begun(line, other->begun_us, other->id, other->handshake.mode));
        }
    }
    if (server->clock.is_running) {
        session_send(session, line, line_time_rate(line, server));
        session_send(session, line, line_time(line, server));
    }
}

static void dump_device(struct session *session, const struct net_device *device,
                        const struct bridge_view *view) {
    char line[SRCP_REPLY_SIZE];
    session_send(session, line, line_device(line, device));
    for (unsigned port = 0; port < device_ports(&device->device); port++) {
        session_send(session, line, line_port(line, device, port, view));
    }
}

static void dump_bridge(struct session *session, const struct net_bridge *bridge) {
    const struct bridge_view *view = bridge_now(bridge);
    char line[SRCP_REPLY_SIZE];
    for (size_t i = 0; i < bridge->devices; i++) {
        dump_device(session, &bridge->device[i], view);
    }
    session_send(session, line,
                 srcp_info_power_device(line, session->server->started_us, bridge->setup->bus));
    session_send(session, line, line_power(line, bridge, view));
    for (size_t i = 0; i < bridge->devices; i++) {
        if (device_lock_is_shown(&bridge->device[i])) {
            session_send(session, line, line_lock(line, &bridge->device[i]));
        }
    }
}

void dump_send(struct session *session) {
    struct net_server *server = session->server;
    dump_description(session, &server->bus[0]);
    dump_server(session);
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        dump_description(session, &server->bus[1 + b]);
        dump_bridge(session, &server->bridge[b]);
    }
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        message_dump(session, &server->bridge[b]);
    }
}

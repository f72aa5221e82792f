/* Groups SERVER, SESSION and DESCRIPTION: the server itself, and who is there. */
#include "net/commands/command.h"
#include "net/devices/lines.h"
#include "net/server_state.h"
#include "net/session/session.h"

/* SERVER */

static enum srcp_code server_get(const struct command *command) {
    const struct net_server *server = command->server;
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line,
                 srcp_info_server(line, server->state_since_us, server->state));
    return SRCP_NO_FAULT;
}

static enum srcp_code server_reset_it(const struct command *command) {
    server_state_reset(command->server);
    return SRCP_DONE;
}

static enum srcp_code server_term(const struct command *command) {
    session_reply(command->session, SRCP_DONE);
    server_state_terminate(command->server);
    return SRCP_NO_FAULT;
}

/* SESSION */

static struct session *session_named(const struct command *command) {
    int32_t id = command->request->session;
    return id == 0 ? command->session : session_find(command->server, id);
}

static enum srcp_code session_values(const struct command *command) {
    return session_named(command) == NULL ? SRCP_WRONG_VALUE : SRCP_NO_FAULT;
}

static enum srcp_code session_bars(const struct command *command) {
    bool may =
        session_named(command) == command->session || command->session->right >= NET_ADMINISTER;
    return may ? SRCP_NO_FAULT : SRCP_FORBIDDEN;
}

static enum srcp_code session_get(const struct command *command) {
    const struct session *named = session_named(command);
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line,
                 srcp_info_session(line, named->begun_us, named->id, named->handshake.mode));
    return SRCP_NO_FAULT;
}

static enum srcp_code session_term(const struct command *command) {
    session_reply(command->session, SRCP_DONE);
    session_end(session_named(command));
    return SRCP_NO_FAULT;
}

/* DESCRIPTION of the bus, of one of its groups, of a device or a session */

static const struct session *session_described(const struct command *command) {
    const struct srcp_request *request = command->request;
    bool is_session = request->has_address && request->target == SRCP_SESSION;
    return is_session ? session_find(command->server, request->address) : NULL;
}

static enum srcp_code description_values(const struct command *command) {
    bool is_there = !command->request->has_address || command->device != NULL ||
                    session_described(command) != NULL;
    return is_there ? SRCP_NO_FAULT : SRCP_UNSUPPORTED_DEVICE;
}

static size_t describe_group(const struct command *command, char *line) {
    const struct srcp_request *request = command->request;
    const struct srcp_bus *bus = srcp_scope_bus(&command->server->scope, (int32_t)request->bus);
    uint64_t started_us = command->server->started_us;
    if (!request->has_target) {
        return srcp_info_description(line, started_us, request->bus, bus->groups);
    }
    if (request->target == SRCP_POWER) {
        return srcp_info_power_device(line, started_us, request->bus);
    }
    if (request->target == SRCP_TIME && command->server->clock.is_running) {
        return line_time_rate(line, command->server);
    }
    return srcp_info_description(line, started_us, request->bus, 1u << request->target);
}

static enum srcp_code description_get(const struct command *command) {
    const struct session *named = session_described(command);
    char line[SRCP_REPLY_SIZE];
    size_t length;
    if (named != NULL) {
        length = srcp_info_session_begun(line, named->begun_us, named->id, named->handshake.mode);
    } else if (command->device != NULL) {
        length = line_device(line, command->device);
    } else {
        length = describe_group(command, line);
    }
    session_send(command->session, line, length);
    return SRCP_NO_FAULT;
}

static const struct command_row rows[] = {
    {SRCP_SERVER, SRCP_GET, NET_OBSERVE, NULL, NULL, server_get},
    {SRCP_SERVER, SRCP_RESET, NET_ADMINISTER, NULL, NULL, server_reset_it},
    {SRCP_SERVER, SRCP_TERM, NET_ADMINISTER, NULL, NULL, server_term},
    {SRCP_SESSION, SRCP_GET, NET_OBSERVE, session_values, NULL, session_get},
    {SRCP_SESSION, SRCP_TERM, NET_OBSERVE, session_values, session_bars, session_term},
    {SRCP_DESCRIPTION, SRCP_GET, NET_OBSERVE, description_values, NULL, description_get},
};

const struct command_rows command_server_rows = {rows, sizeof rows / sizeof rows[0]};

#include "net/commands/command.h"

#include "core/words/names.h"
#include "net/devices/message.h"
#include "net/session/session.h"

static const struct command_rows *const tables[] = {
    &command_device_rows, &command_lock_rows,    &command_time_rows,
    &command_server_rows, &command_message_rows,
};

/* Every command that the parser lets pass has a row: a test goes through them all. */
static const struct command_row *find_row(const struct srcp_request *request) {
    enum srcp_command command = request->command == SRCP_CHECK ? SRCP_SET : request->command;
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; t++) {
        for (size_t r = 0; r < tables[t]->count; r++) {
            const struct command_row *row = &tables[t]->row[r];
            if (row->group == request->group && row->command == command) {
                return row;
            }
        }
    }
    return NULL;
}

static bool names_device(const struct srcp_request *request) {
    switch (request->group) {
    case SRCP_GA:
    case SRCP_FB:
    case SRCP_LOCK:
        return true;
    case SRCP_DESCRIPTION: /* which may name a session, too */
        return request->has_address && request->target != SRCP_SESSION;
    case SRCP_GL:
    case SRCP_SM:
    case SRCP_POWER:
    case SRCP_TIME:
    case SRCP_SESSION:
    case SRCP_SERVER:
    case SRCP_GM:
    case SRCP_GROUPS:
        break;
    }
    return false;
}

static struct net_device *find_device(struct net_bridge *bridge,
                                      const struct srcp_request *request) {
    enum srcp_group group = request->has_target ? request->target : request->group;
    if (bridge == NULL || (group != SRCP_GA && group != SRCP_FB)) {
        return NULL;
    }
    return bridge_device(bridge, group == SRCP_GA ? DEVICE_GA : DEVICE_FB, request->address);
}

static enum srcp_code check_values(const struct command *command, const struct command_row *row) {
    if (command->request->value_fault != SRCP_NO_FAULT) {
        return command->request->value_fault;
    }
    return row->values == NULL ? SRCP_NO_FAULT : row->values(command);
}

static enum srcp_code check_bars(const struct command *command, const struct command_row *row) {
    if (command->session->right < row->right) {
        return SRCP_FORBIDDEN;
    }
    return row->bars == NULL ? SRCP_NO_FAULT : row->bars(command);
}

static enum srcp_code run(struct session *session, struct srcp_text line) {
    struct net_server *server = session->server;
    struct srcp_request request;
    enum srcp_code code = srcp_request_parse(line, &server->scope, &request);
    if (code != SRCP_NO_FAULT) {
        return code;
    }
    const struct command_row *row = find_row(&request);
    if (row == NULL) {
        return SRCP_UNSUPPORTED_OPERATION;
    }
    struct command command = {.session = session,
                              .server = server,
                              .request = &request,
                              .bridge = server_bridge_on_bus(server, request.bus),
                              .is_trial = request.command == SRCP_CHECK};
    if (names_device(&request)) {
        command.device = find_device(command.bridge, &request);
        if (command.device == NULL) {
            return SRCP_UNSUPPORTED_DEVICE;
        }
    }
    code = check_values(&command, row);
    if (code == SRCP_NO_FAULT) {
        code = check_bars(&command, row);
    }
    return code == SRCP_NO_FAULT ? row->act(&command) : code;
}

void command_run(struct session *session, struct srcp_text line) {
    enum srcp_code code = run(session, line);
    if (code != SRCP_NO_FAULT) {
        session_reply(session, code);
    }
}

enum srcp_code command_done(const struct command *command) {
    (void)command;
    return SRCP_DONE;
}

enum srcp_code command_never(const struct command *command) {
    (void)command;
    return SRCP_FORBIDDEN;
}

static enum srcp_code refuse(const struct command *command, unsigned address, const char *why) {
    if (!command->is_trial) {
        message_refused(command->server, command->request->bus, command->request->group, address,
                        command->session->id, why);
    }
    return SRCP_PROHIBITED;
}

/* Nobody keeps a stop away (S9), whatever the host thinks. */
static const char *kept_by_stand(const struct net_host *host, unsigned bridge,
                                 const struct bridge_request *request) {
    return host->kept_by_stand == NULL || bridge_request_is_stop(request->kind)
               ? NULL
               : host->kept_by_stand(host->context, bridge, request);
}

enum srcp_code command_ask(const struct command *command, const struct bridge_request *request,
                           unsigned address) {
    const struct net_host *host = &command->server->host;
    unsigned bridge = command->bridge->index;
    const char *kept = kept_by_stand(host, bridge, request);
    if (kept != NULL) {
        return refuse(command, address, kept);
    }
    enum bridge_answer answer =
        command->is_trial ? host->would(host->context, bridge, request)
                          : host->ask(host->context, command->session->id, bridge, request);
    switch (answer) {
    case ANSWER_NONE:
    case ANSWER_GRANTED:
    case ANSWER_ALREADY:
        return SRCP_DONE;
    case ANSWER_NO_SUCH: /* a bridge lifted by hand is never jogged */
        return SRCP_FORBIDDEN;
    case ANSWER_FAULT:
    case ANSWER_UNPROVED:
    case ANSWER_NOT_LINED:
    case ANSWER_POWER_OFF:
    case ANSWER_NOT_HELD:
    case ANSWER_LET_GO:
    case ANSWER_NOT_SAFE:
    case ANSWER_NOT_WANTED:
    case ANSWER_TOO_OLD:
    case ANSWER_CAUSE_STANDS:
        break;
    }
    return refuse(command, address, bridge_answer_text(answer));
}

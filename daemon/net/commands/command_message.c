/* Group GM: messages among clients, and what is told to a simulated bridge. */
#include "net/commands/command.h"
#include "net/devices/message.h"
#include "net/session/session.h"

#include <stdio.h>

/* SIMULATE <bus> <words>: to the simulated world, not to other sessions. */
static bool is_simulate(const struct command *command) {
    return srcp_text_is(command->request->type, "SIMULATE");
}

static struct net_bridge *simulated_bridge(const struct command *command, struct srcp_text *words) {
    *words = command->request->text;
    int32_t bus;
    if (!srcp_text_number(srcp_text_word(words), &bus) || bus < 1) {
        return NULL;
    }
    return server_bridge_on_bus(command->server, (unsigned)bus);
}

static enum srcp_code values(const struct command *command) {
    const struct srcp_request *request = command->request;
    if (is_simulate(command)) {
        struct srcp_text words;
        return simulated_bridge(command, &words) == NULL ? SRCP_WRONG_VALUE : SRCP_NO_FAULT;
    }
    if (request->send_to == 0) {
        return SRCP_NO_FAULT;
    }
    const struct session *receiver = session_find(command->server, request->send_to);
    bool listens = receiver != NULL && receiver->handshake.mode == SRCP_INFO_MODE;
    return listens ? SRCP_NO_FAULT : SRCP_WRONG_VALUE;
}

/* What the server says, nobody else may seem to say. */
static enum srcp_code bars(const struct command *command) {
    if (is_simulate(command)) {
        return command->session->right >= NET_ADMINISTER ? SRCP_NO_FAULT : SRCP_FORBIDDEN;
    }
    return message_is_ours(command->request->type) ? SRCP_FORBIDDEN : SRCP_NO_FAULT;
}

static enum srcp_code simulate(const struct command *command) {
    struct srcp_text text;
    const struct net_bridge *bridge = simulated_bridge(command, &text);
    char words[SRCP_LINE_MAX];
    snprintf(words, sizeof words, "%.*s", (int)text.length, text.at);
    const struct net_host *host = &command->server->host;
    struct error error;
    bool is_taken = (command->is_trial ? host->would_simulate : host->simulate)(
        host->context, bridge->index, words, &error);
    if (!is_taken && !command->is_trial) {
        message_refused(command->server, bridge->setup->bus, SRCP_GM, 0, command->session->id,
                        error.what);
    }
    return is_taken ? SRCP_DONE : SRCP_WRONG_VALUE;
}

static enum srcp_code set(const struct command *command) {
    if (is_simulate(command)) {
        return simulate(command);
    }
    if (command->is_trial) {
        return SRCP_DONE;
    }
    const struct srcp_request *request = command->request;
    char line[SRCP_REPLY_SIZE];
    size_t length = srcp_info_gm(line, server_now_us(command->server), request->send_to,
                                 request->reply_to, request->type, request->text);
    if (request->send_to == 0) {
        server_broadcast(command->server, line, length);
    } else {
        session_send(session_find(command->server, request->send_to), line, length);
    }
    return SRCP_DONE;
}

static const struct command_row rows[] = {
    {SRCP_GM, SRCP_SET, NET_OPERATE, values, bars, set},
};

const struct command_rows command_message_rows = {rows, sizeof rows / sizeof rows[0]};

/* Group TIME: the model clock. */
#include "net/clock/fast_clock.h"
#include "net/commands/command.h"
#include "net/devices/lines.h"
#include "net/devices/message.h"
#include "net/session/session.h"
#include "net/session/wait.h"

static struct model_time time_of(const struct srcp_request *request) {
    return (struct model_time){.day = (uint32_t)request->time.day,
                               .hour = (uint32_t)request->time.hour,
                               .minute = (uint32_t)request->time.minute,
                               .second = (uint32_t)request->time.second};
}

static enum srcp_code get(const struct command *command) {
    if (!command->server->clock.is_running) {
        return SRCP_NO_DATA;
    }
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line, line_time(line, command->server));
    return SRCP_NO_FAULT;
}

/* Whoever asked is told why, by its INFO session. */
static bool is_anothers(const struct command *command) {
    bool is = command->server->setup.follows_clock;
    if (is && !command->is_trial) {
        message_refused(command->server, 0, SRCP_TIME, 0, command->session->id,
                        "the time is that of the layout's clock, and set there");
    }
    return is;
}

static enum srcp_code set(const struct command *command) {
    if (is_anothers(command)) {
        return SRCP_FORBIDDEN;
    }
    if (!command->is_trial) {
        const struct model_time time = time_of(command->request);
        fast_clock_set(command->server, &time);
    }
    return SRCP_DONE;
}

static enum srcp_code await(const struct command *command) {
    const struct model_time time = time_of(command->request);
    wait_for_time(command->session->wait, &time);
    return SRCP_NO_FAULT;
}

static enum srcp_code init(const struct command *command) {
    if (is_anothers(command)) {
        return SRCP_FORBIDDEN;
    }
    fast_clock_start(command->server, (uint32_t)command->request->time.fx,
                     (uint32_t)command->request->time.fy);
    return SRCP_DONE;
}

static enum srcp_code term(const struct command *command) {
    if (is_anothers(command)) {
        return SRCP_FORBIDDEN;
    }
    fast_clock_stop(command->server);
    return SRCP_DONE;
}

static const struct command_row rows[] = {
    {SRCP_TIME, SRCP_GET, NET_OBSERVE, NULL, NULL, get},
    {SRCP_TIME, SRCP_SET, NET_OPERATE, NULL, NULL, set},
    {SRCP_TIME, SRCP_WAIT, NET_OBSERVE, NULL, NULL, await},
    {SRCP_TIME, SRCP_INIT, NET_OPERATE, NULL, NULL, init},
    {SRCP_TIME, SRCP_TERM, NET_OPERATE, NULL, NULL, term},
};

const struct command_rows command_time_rows = {rows, sizeof rows / sizeof rows[0]};

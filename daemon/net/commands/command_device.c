/* Groups GA, FB and POWER: the parts of a bridge, read, set and waited for. */
#include "net/commands/command.h"
#include "net/devices/lines.h"
#include "net/session/session.h"
#include "net/session/wait.h"

#include <stdio.h>

static const uint64_t millisecond_us = 1000;

static enum srcp_code send_port(const struct command *command, unsigned port) {
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line,
                 line_port(line, command->device, port, bridge_now(command->bridge)));
    return SRCP_NO_FAULT;
}

/* GA */

static enum srcp_code ga_port_values(const struct command *command) {
    return (unsigned)command->request->port < device_ports(&command->device->device)
               ? SRCP_NO_FAULT
               : SRCP_WRONG_VALUE;
}

static enum srcp_code fb_values(const struct command *command) {
    int32_t value = command->request->value;
    return value == 0 || value == 1 ? SRCP_NO_FAULT : SRCP_WRONG_VALUE;
}

static enum srcp_code ga_values(const struct command *command) {
    enum srcp_code fault = ga_port_values(command);
    return fault == SRCP_NO_FAULT ? fb_values(command) : fault;
}

static enum srcp_code ga_set_values(const struct command *command) {
    const struct srcp_request *request = command->request;
    enum srcp_code fault = ga_port_values(command);
    if (fault != SRCP_NO_FAULT) {
        return fault;
    }
    int most = device_value_most(&command->device->device, (unsigned)request->port);
    return request->value >= 0 && request->value <= most ? SRCP_NO_FAULT : SRCP_WRONG_VALUE;
}

static struct bridge_request ga_request(const struct command *command) {
    return device_request(&command->device->device, (unsigned)command->request->port,
                          command->request->value);
}

/* S9: a stop acts whoever holds the lock; so does letting go. */
static enum srcp_code ga_bars(const struct command *command) {
    if (device_is_read_only(&command->device->device)) {
        return SRCP_FORBIDDEN;
    }
    const struct bridge_request request = ga_request(command);
    if (bridge_request_rests(&request)) {
        return SRCP_NO_FAULT;
    }
    bool is_jog = request.kind == REQUEST_JOG_UP || request.kind == REQUEST_JOG_DOWN;
    if (is_jog && command->session->right < NET_ADMINISTER) { /* it moves without a warning */
        return SRCP_FORBIDDEN;
    }
    return command_lock_bars(command);
}

static enum srcp_code ga_get(const struct command *command) {
    return send_port(command, (unsigned)command->request->port);
}

static void set_delay(const struct command *command) {
    struct net_device *device = command->device;
    if (!device_is_switched(&device->device)) {
        return;
    }
    layout_timer_cancel(&device->switch_off);
    if (command->request->delay_ms > 0 && command->request->value != 0) {
        device->switch_off_port = (unsigned)command->request->port;
        uint64_t delay_us = (uint64_t)command->request->delay_ms * millisecond_us;
        layout_timer_set(&device->switch_off, server_now_us(command->server) + delay_us);
    }
}

static enum srcp_code ga_set(const struct command *command) {
    const struct bridge_request request = ga_request(command);
    enum srcp_code code = SRCP_DONE;
    if (request.kind != REQUEST_NONE) {
        code = command_ask(command, &request, command->device->device.address);
    }
    if (code == SRCP_DONE && !command->is_trial) {
        set_delay(command);
    }
    return code;
}

static enum srcp_code ga_wait(const struct command *command) {
    const struct srcp_request *request = command->request;
    wait_for_value(command->session->wait, command->device, (unsigned)request->port, request->value,
                   request->timeout_s);
    return SRCP_NO_FAULT;
}

/* FB */

static enum srcp_code fb_get(const struct command *command) {
    return send_port(command, 0);
}

static enum srcp_code fb_wait(const struct command *command) {
    wait_for_value(command->session->wait, command->device, 0, command->request->value,
                   command->request->timeout_s);
    return SRCP_NO_FAULT;
}

/* POWER */

static enum srcp_code power_get(const struct command *command) {
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line,
                 line_power(line, command->bridge, bridge_now(command->bridge)));
    return SRCP_NO_FAULT;
}

static bool set_remark(struct net_bridge *bridge, struct srcp_text text) {
    bool differs = !srcp_text_is(text, bridge->power_remark);
    snprintf(bridge->power_remark, sizeof bridge->power_remark, "%.*s", (int)text.length, text.at);
    return differs;
}

/* The bridge tells the change from within; words alone are told here. */
static enum srcp_code power_set(const struct command *command) {
    struct net_bridge *bridge = command->bridge;
    const struct bridge_request request = {.kind = command->request->is_on ? REQUEST_POWER_ON
                                                                           : REQUEST_POWER_OFF};
    if (command->is_trial) {
        return command_ask(command, &request, 0);
    }
    char old_remark[POWER_REMARK_SIZE];
    snprintf(old_remark, sizeof old_remark, "%s", bridge->power_remark);
    bool differs = set_remark(bridge, command->request->text);
    bridge->has_untold_remark = true;
    enum srcp_code code = command_ask(command, &request, 0);
    bool is_untold = bridge->has_untold_remark;
    bridge->has_untold_remark = false;
    if (code != SRCP_DONE) {
        set_remark(bridge, srcp_text_of(old_remark));
    } else if (differs && is_untold) {
        bridge->power_since_us = server_now_us(command->server);
        char line[SRCP_REPLY_SIZE];
        server_broadcast(command->server, line, line_power(line, bridge, bridge_now(bridge)));
    }
    return code;
}

static const struct command_row rows[] = {
    {SRCP_GA, SRCP_GET, NET_OBSERVE, ga_port_values, NULL, ga_get},
    {SRCP_GA, SRCP_SET, NET_OPERATE, ga_set_values, ga_bars, ga_set},
    {SRCP_GA, SRCP_WAIT, NET_OBSERVE, ga_values, NULL, ga_wait},
    {SRCP_GA, SRCP_INIT, NET_OPERATE, NULL, command_lock_bars, command_done},
    {SRCP_GA, SRCP_TERM, NET_OBSERVE, NULL, command_never, command_done},
    {SRCP_FB, SRCP_GET, NET_OBSERVE, NULL, NULL, fb_get},
    {SRCP_FB, SRCP_WAIT, NET_OBSERVE, fb_values, NULL, fb_wait},
    {SRCP_FB, SRCP_INIT, NET_OPERATE, NULL, NULL, command_done},
    {SRCP_FB, SRCP_TERM, NET_OBSERVE, NULL, command_never, command_done},
    {SRCP_POWER, SRCP_GET, NET_OBSERVE, NULL, NULL, power_get},
    {SRCP_POWER, SRCP_SET, NET_OPERATE, NULL, NULL, power_set},
    {SRCP_POWER, SRCP_INIT, NET_OPERATE, NULL, NULL, command_done},
    {SRCP_POWER, SRCP_TERM, NET_OBSERVE, NULL, command_never, command_done},
};

const struct command_rows command_device_rows = {rows, sizeof rows / sizeof rows[0]};

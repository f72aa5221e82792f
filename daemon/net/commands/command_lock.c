/* Group LOCK: a session keeps others from a device; nobody from a stop (S9). */
#include "net/commands/command.h"
#include "net/devices/device_lock.h"
#include "net/session/session.h"

enum srcp_code command_lock_bars(const struct command *command) {
    bool is_others = device_lock_is_others(command->device, command->session->id);
    return is_others ? SRCP_LOCKED : SRCP_NO_FAULT;
}

/* The bridge's own hold is nobody's to end. */
static enum srcp_code term_bars(const struct command *command) {
    const struct device_lock *lock = &command->device->lock;
    return lock->session == 0 && lock->is_interlocked ? SRCP_LOCKED : command_lock_bars(command);
}

static enum srcp_code get(const struct command *command) {
    const struct net_device *device = command->device;
    char line[SRCP_REPLY_SIZE];
    session_send(command->session, line,
                 srcp_info_lock(line, server_now_us(command->server), command->request->bus,
                                SRCP_GA, command->request->address, device_lock_left_s(device),
                                device->lock.session));
    return SRCP_NO_FAULT;
}

static enum srcp_code set(const struct command *command) {
    if (!command->is_trial) {
        device_lock_take(command->device, command->session->id, command->request->duration_s);
    }
    return SRCP_DONE;
}

static enum srcp_code term(const struct command *command) {
    device_lock_release(command->device);
    return SRCP_DONE;
}

static const struct command_row rows[] = {
    {SRCP_LOCK, SRCP_GET, NET_OBSERVE, NULL, NULL, get},
    {SRCP_LOCK, SRCP_SET, NET_OPERATE, NULL, command_lock_bars, set},
    {SRCP_LOCK, SRCP_TERM, NET_OPERATE, NULL, term_bars, term},
};

const struct command_rows command_lock_rows = {rows, sizeof rows / sizeof rows[0]};

#include "io/nodes/nodes_command.h"

void nodes_command_restart(struct nodes_command *command, uint64_t now_us) {
    *command = (struct nodes_command){.since_us = now_us};
}

void nodes_command_want(struct nodes_command *command, bool is_on, uint64_t now_us) {
    if (command->is_wanted_on != is_on) {
        command->is_wanted_on = is_on;
        command->step = NODES_TO_SEND;
        command->since_us = now_us;
    }
}

/* A device that fell off by itself brings the bridge to its safe state, and that wants it off. */
void nodes_command_check(struct nodes_command *command, enum nodes_shown shown, uint32_t obey_us,
                         uint64_t now_us) {
    enum nodes_shown wanted = command->is_wanted_on ? NODES_SHOWS_ON : NODES_SHOWS_OFF;
    if (command->step == NODES_PROVED) {
        if (shown != wanted && shown != NODES_SHOWS_NEITHER) {
            command->trouble = NODES_CHANGED;
            command->step = command->is_wanted_on ? NODES_SENT : NODES_TO_SEND;
            command->since_us = now_us;
        }
    } else if (command->step == NODES_SENT && shown == wanted) {
        command->step = NODES_PROVED;
        command->trouble = NODES_NO_TROUBLE;
    } else if (command->trouble == NODES_NO_TROUBLE && now_us - command->since_us > obey_us) {
        command->trouble = NODES_DISOBEYED;
    }
}

static bool is_stuck(const struct nodes_command *command) {
    return command->is_wanted_on && command->trouble != NODES_NO_TROUBLE;
}

bool nodes_command_is_due(const struct nodes_command *command, uint32_t beat_us, uint64_t now_us) {
    return command->step == NODES_TO_SEND || (command->step == NODES_SENT && !is_stuck(command) &&
                                              now_us - command->sent_us >= beat_us);
}

void nodes_command_sent(struct nodes_command *command, uint64_t now_us) {
    command->step = NODES_SENT;
    command->sent_us = now_us;
}

bool nodes_command_is_settled(const struct nodes_command *command) {
    return command->step == NODES_PROVED && command->trouble == NODES_NO_TROUBLE;
}

uint64_t nodes_command_due_us(const struct nodes_command *command, uint32_t beat_us,
                              uint32_t obey_us, bool may_send) {
    if (command->step == NODES_PROVED || is_stuck(command)) {
        return UINT64_MAX;
    }
    uint64_t again_us = may_send ? command->sent_us + beat_us : UINT64_MAX;
    uint64_t limit_us = command->since_us + obey_us + 1;
    return command->trouble == NODES_NO_TROUBLE && limit_us < again_us ? limit_us : again_us;
}

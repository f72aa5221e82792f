/* nodes_command.h: a device of another node that is commanded by events: what is wanted of it, what
 * was sent, and whether what its node says proves that it obeyed. An event is not acknowledged, so
 * it is sent again until there is proof. Without one in time, or when it changes though nobody here
 * asked for it, it is wrong; only a new proof mends it. Pure; times in microseconds. */
#ifndef IO_NODES_COMMAND_H
#define IO_NODES_COMMAND_H

#include <stdbool.h>
#include <stdint.h>

enum nodes_step { NODES_TO_SEND = 0, NODES_SENT, NODES_PROVED };

enum nodes_trouble { NODES_NO_TROUBLE = 0, NODES_DISOBEYED, NODES_CHANGED };

struct nodes_command {
    bool is_wanted_on;
    enum nodes_step step;
    enum nodes_trouble trouble;
    uint64_t since_us; /* when it was last wanted otherwise */
    uint64_t sent_us;
};

/* What its proofs show, all of them together. */
enum nodes_shown { NODES_SHOWS_NEITHER = 0, NODES_SHOWS_OFF, NODES_SHOWS_ON };

/* Nothing is proved, off is wanted. */
void nodes_command_restart(struct nodes_command *command, uint64_t now_us);

void nodes_command_want(struct nodes_command *command, bool is_on, uint64_t now_us);

void nodes_command_check(struct nodes_command *command, enum nodes_shown shown, uint32_t obey_us,
                         uint64_t now_us);

/* Whether it is to be sent. What is in trouble is not switched on again behind somebody's back. */
bool nodes_command_is_due(const struct nodes_command *command, uint32_t beat_us, uint64_t now_us);
void nodes_command_sent(struct nodes_command *command, uint64_t now_us);

/* Shows what is wanted, and nothing is under way. */
bool nodes_command_is_settled(const struct nodes_command *command);

/* When it is to be looked at again though nothing is said; UINT64_MAX: never. */
uint64_t nodes_command_due_us(const struct nodes_command *command, uint32_t beat_us,
                              uint32_t obey_us, bool may_send);

#endif

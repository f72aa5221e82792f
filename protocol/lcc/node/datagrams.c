#include "protocol/lcc/node/datagrams.h"

#include "protocol/lcc/identifier.h"
#include "protocol/lcc/node/spaces.h"

#include <string.h>

enum { REPLY_FOLLOWS = 0x80, REPLY_FRAMES = (LCC_DATAGRAM_MAX + 7) / 8 };

static bool send(struct lcc_node *node, uint16_t mti, uint16_t destination, const uint8_t *content,
                 unsigned length) {
    const struct lcc_message message = {mti, node->alias.alias, destination, content, length};
    return lcc_out_message(&node->out, &message);
}

static void accept(struct lcc_node *node, uint16_t destination, uint8_t flags) {
    send(node, LCC_DATAGRAM_OK, destination, &flags, 1);
}

static void reject(struct lcc_node *node, uint16_t destination, enum lcc_error error) {
    uint8_t content[2];
    lcc_put(content, error, sizeof content);
    send(node, LCC_DATAGRAM_REJECTED, destination, content, sizeof content);
}

static struct lcc_reply *reply_to(struct lcc_node *node, uint16_t destination) {
    for (unsigned i = 0; i < LCC_REPLIES_MAX; i++) {
        if (node->reply[i].is_used && node->reply[i].destination == destination) {
            return &node->reply[i];
        }
    }
    return NULL;
}

/* Who asks again waits for the old reply no more: it gives its place to the new. */
static struct lcc_reply *place_for(struct lcc_node *node, uint16_t destination) {
    struct lcc_reply *reply = reply_to(node, destination);
    for (unsigned i = 0; reply == NULL && i < LCC_REPLIES_MAX; i++) {
        reply = node->reply[i].is_used ? NULL : &node->reply[i];
    }
    return reply;
}

static void send_reply(struct lcc_node *node, uint64_t now_us, struct lcc_reply *reply) {
    if (send(node, LCC_DATAGRAM, reply->destination, reply->datagram, reply->length)) {
        reply->tries++;
    }
    reply->again_us = now_us + LCC_REPLY_US;
}

static enum lcc_error error_of_place(const struct lcc_node *node,
                                     const struct lcc_memory_command *command) {
    struct lcc_space space = lcc_spaces_of(node->setup, command->space);
    if (!space.is_there) {
        return LCC_SPACE_UNKNOWN;
    }
    return command->address > space.highest ? LCC_ADDRESS_OUTSIDE : LCC_NO_ERROR;
}

static unsigned reply_read(const struct lcc_node *node, const struct lcc_memory_command *command,
                           uint8_t *reply) {
    uint8_t data[LCC_MEMORY_BYTES_MAX];
    enum lcc_error error = error_of_place(node, command);
    if (error != LCC_NO_ERROR) {
        return lcc_memory_reply_failed(command, error, reply);
    }
    unsigned count =
        lcc_spaces_read(node->setup, command->space, command->address, command->count, data);
    return lcc_memory_reply_read(command, data, count, reply);
}

static unsigned reply_write(const struct lcc_node *node, const struct lcc_memory_command *command,
                            uint8_t *reply) {
    enum lcc_error error = error_of_place(node, command);
    return lcc_memory_reply_failed(command, error == LCC_NO_ERROR ? LCC_READ_ONLY : error, reply);
}

/* Voluntary, and forgotten at a restart; taken only if it is free (S). */
static unsigned reply_lock(struct lcc_node *node, const struct lcc_memory_command *command,
                           uint8_t *reply) {
    if (node->holder == 0 || command->node == 0) {
        node->holder = command->node;
    }
    return lcc_memory_reply_lock(node->holder, reply);
}

/* Returns the length of the reply. */
static unsigned reply_of(struct lcc_node *node, const struct lcc_memory_command *command,
                         uint8_t *reply) {
    struct lcc_space space;
    switch (command->kind) {
    case LCC_MEMORY_READ:
        return reply_read(node, command, reply);
    case LCC_MEMORY_WRITE:
    case LCC_MEMORY_WRITE_MASKED:
        return reply_write(node, command, reply);
    case LCC_MEMORY_OPTIONS:
        return lcc_memory_reply_options(LCC_OFFERS_UNALIGNED_READ | LCC_OFFERS_READ_MADE |
                                            LCC_OFFERS_READ_NAMED,
                                        LCC_SPACE_CDI, LCC_SPACE_NAMED, reply);
    case LCC_MEMORY_SPACE:
        space = lcc_spaces_of(node->setup, command->space);
        return lcc_memory_reply_space(command->space, &space, reply);
    case LCC_MEMORY_LOCK:
        return reply_lock(node, command, reply);
    case LCC_MEMORY_UNKNOWN:
    case LCC_MEMORY_ILL_FORMED:
    case LCC_MEMORY_UPDATE_COMPLETE:
    case LCC_MEMORY_RESET:
        break;
    }
    return 0;
}

/* The confirmation goes before the reply. */
static void answer(struct lcc_node *node, uint64_t now_us, uint16_t destination,
                   const struct lcc_memory_command *command) {
    struct lcc_reply *reply = place_for(node, destination);
    if (reply == NULL || lcc_out_room(&node->out) < 1 + REPLY_FRAMES) {
        reject(node, destination, LCC_BUSY);
        return;
    }
    *reply = (struct lcc_reply){.is_used = true, .destination = destination};
    reply->length = reply_of(node, command, reply->datagram);
    accept(node, destination, REPLY_FOLLOWS);
    send_reply(node, now_us, reply);
}

static void serve(struct lcc_node *node, uint64_t now_us, const struct lcc_message *datagram) {
    struct lcc_memory_command command;
    if (datagram->length == 0 || datagram->content[0] != LCC_MEMORY) {
        reject(node, datagram->source, LCC_TYPE_UNKNOWN);
        return;
    }
    lcc_memory_read(datagram->content, datagram->length, &command);
    switch (command.kind) {
    case LCC_MEMORY_UNKNOWN:
        reject(node, datagram->source, LCC_SUBCOMMAND_UNKNOWN);
        break;
    case LCC_MEMORY_ILL_FORMED:
        reject(node, datagram->source, LCC_ARGUMENTS_WRONG);
        break;
    case LCC_MEMORY_RESET:
        node->is_restarting = true;
        accept(node, datagram->source, 0);
        break;
    case LCC_MEMORY_UPDATE_COMPLETE: /* nothing can have been written */
        accept(node, datagram->source, 0);
        break;
    case LCC_MEMORY_READ:
    case LCC_MEMORY_WRITE:
    case LCC_MEMORY_WRITE_MASKED:
    case LCC_MEMORY_OPTIONS:
    case LCC_MEMORY_SPACE:
    case LCC_MEMORY_LOCK:
        answer(node, now_us, datagram->source, &command);
        break;
    }
}

void lcc_datagrams_take(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame) {
    struct lcc_message datagram;
    switch (lcc_assembly_take(&node->assembly, now_us, frame, &datagram)) {
    case LCC_ASSEMBLED_PART:
        break;
    case LCC_ASSEMBLED_WHOLE:
        serve(node, now_us, &datagram);
        break;
    case LCC_ASSEMBLED_NO_FIRST:
        reject(node, datagram.source, LCC_NO_FIRST_PART);
        break;
    case LCC_ASSEMBLED_MIXED:
        reject(node, datagram.source, LCC_PARTS_MIXED);
        break;
    case LCC_ASSEMBLED_TOO_LONG:
        reject(node, datagram.source, LCC_ARGUMENTS_WRONG);
        break;
    case LCC_ASSEMBLED_NO_ROOM:
        reject(node, datagram.source, LCC_BUSY);
        break;
    }
}

void lcc_datagrams_confirmed(struct lcc_node *node, uint16_t source) {
    struct lcc_reply *reply = reply_to(node, source);
    if (reply != NULL) {
        reply->is_used = false;
    }
}

void lcc_datagrams_rejected(struct lcc_node *node, uint64_t now_us, uint16_t source,
                            unsigned error) {
    struct lcc_reply *reply = reply_to(node, source);
    if (reply == NULL) {
        return;
    }
    if ((error & LCC_IS_TEMPORARY) == 0 || reply->tries >= LCC_REPLY_TRIES) {
        reply->is_used = false;
    } else {
        send_reply(node, now_us, reply);
    }
}

void lcc_datagrams_repeat(struct lcc_node *node, uint64_t now_us) {
    for (unsigned i = 0; i < LCC_REPLIES_MAX; i++) {
        struct lcc_reply *reply = &node->reply[i];
        if (!reply->is_used || now_us < reply->again_us) {
            continue;
        }
        if (reply->tries >= LCC_REPLY_TRIES) {
            reply->is_used = false;
        } else {
            send_reply(node, now_us, reply);
        }
    }
}

uint64_t lcc_datagrams_due_us(const struct lcc_node *node) {
    uint64_t due_us = UINT64_MAX;
    for (unsigned i = 0; i < LCC_REPLIES_MAX; i++) {
        if (node->reply[i].is_used && node->reply[i].again_us < due_us) {
            due_us = node->reply[i].again_us;
        }
    }
    return due_us;
}

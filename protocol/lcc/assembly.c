#include "protocol/lcc/assembly.h"

#include <string.h>

static struct lcc_assembly_slot *find(struct lcc_assembly *assembly, uint16_t source, uint16_t mti,
                                      uint64_t now_us) {
    for (unsigned i = 0; i < LCC_ASSEMBLY_SLOTS; i++) {
        struct lcc_assembly_slot *slot = &assembly->slot[i];
        slot->is_used = slot->is_used && now_us - slot->since_us < LCC_ASSEMBLY_US;
        if (slot->is_used && slot->source == source && slot->mti == mti) {
            return slot;
        }
    }
    return NULL;
}

static struct lcc_assembly_slot *unused(struct lcc_assembly *assembly) {
    for (unsigned i = 0; i < LCC_ASSEMBLY_SLOTS; i++) {
        if (!assembly->slot[i].is_used) {
            return &assembly->slot[i];
        }
    }
    return NULL;
}

static enum lcc_assembled begin(struct lcc_assembly *assembly, struct lcc_assembly_slot *slot,
                                const struct lcc_message *part, uint64_t now_us) {
    if (slot != NULL) { /* neither the old nor the new is whole */
        slot->is_used = false;
        return LCC_ASSEMBLED_MIXED;
    }
    slot = unused(assembly);
    if (slot == NULL) {
        return LCC_ASSEMBLED_NO_ROOM;
    }
    slot->is_used = true;
    slot->source = part->source;
    slot->mti = part->mti;
    slot->since_us = now_us;
    slot->length = part->length;
    memcpy(slot->content, part->content, part->length);
    return LCC_ASSEMBLED_PART;
}

static enum lcc_assembled go_on(struct lcc_assembly_slot *slot, const struct lcc_message *part,
                                uint64_t now_us) {
    if (slot == NULL) {
        return LCC_ASSEMBLED_NO_FIRST;
    }
    unsigned most = part->mti == LCC_DATAGRAM ? LCC_DATAGRAM_MAX : LCC_MESSAGE_MAX;
    if (part->length > most - slot->length) {
        slot->is_used = false;
        return LCC_ASSEMBLED_TOO_LONG;
    }
    memcpy(slot->content + slot->length, part->content, part->length);
    slot->length += part->length;
    slot->since_us = now_us;
    return LCC_ASSEMBLED_PART;
}

static enum lcc_assembled end(struct lcc_assembly_slot *slot, struct lcc_message *message,
                              uint64_t now_us) {
    enum lcc_assembled how = go_on(slot, message, now_us);
    if (how == LCC_ASSEMBLED_PART) {
        slot->is_used = false;
        message->content = slot->content;
        message->length = slot->length;
        how = LCC_ASSEMBLED_WHOLE;
    }
    return how;
}

static enum lcc_assembled whole(struct lcc_assembly_slot *slot) {
    if (slot != NULL) {
        slot->is_used = false;
        return LCC_ASSEMBLED_MIXED;
    }
    return LCC_ASSEMBLED_WHOLE;
}

enum lcc_assembled lcc_assembly_take(struct lcc_assembly *assembly, uint64_t now_us,
                                     const struct lcc_frame *frame, struct lcc_message *message) {
    struct lcc_frame_head head;
    lcc_frame_read(frame, &head);
    *message = (struct lcc_message){.mti = head.kind == LCC_FRAME_DATAGRAM ? (uint16_t)LCC_DATAGRAM
                                                                           : head.mti,
                                    .source = head.source,
                                    .destination = head.destination,
                                    .content = head.payload,
                                    .length = head.payload_length};
    if (head.kind == LCC_FRAME_GLOBAL) {
        return LCC_ASSEMBLED_WHOLE;
    }
    if (head.kind != LCC_FRAME_ADDRESSED && head.kind != LCC_FRAME_DATAGRAM) {
        return LCC_ASSEMBLED_PART;
    }
    struct lcc_assembly_slot *slot = find(assembly, head.source, message->mti, now_us);
    switch (head.part) {
    case LCC_PART_ONLY:
        return whole(slot);
    case LCC_PART_FIRST:
        return begin(assembly, slot, message, now_us);
    case LCC_PART_MIDDLE:
        return go_on(slot, message, now_us);
    case LCC_PART_LAST:
        return end(slot, message, now_us);
    }
    return LCC_ASSEMBLED_PART;
}

void lcc_assembly_forget(struct lcc_assembly *assembly, uint16_t source) {
    for (unsigned i = 0; i < LCC_ASSEMBLY_SLOTS; i++) {
        if (assembly->slot[i].source == source) {
            assembly->slot[i].is_used = false;
        }
    }
}

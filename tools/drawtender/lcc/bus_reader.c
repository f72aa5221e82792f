#include "tools/drawtender/lcc/bus_reader.h"

#include "protocol/lcc/identifier.h"

/* Returns whether the frame says which node its source is. A verification that asks names another.
 */
static bool tells_node(const struct lcc_frame_head *head) {
    if (head->payload_length != LCC_NODE_BYTES) {
        return false;
    }
    return head->kind == LCC_FRAME_DEFINE ||
           (head->kind == LCC_FRAME_GLOBAL &&
            (head->mti == LCC_INITIALIZED || head->mti == LCC_INITIALIZED_SIMPLE ||
             head->mti == LCC_VERIFIED || head->mti == LCC_VERIFIED_SIMPLE));
}

void bus_reader_take(struct bus_reader *reader, uint64_t now_us, const struct lcc_frame *frame,
                     struct bus_frame *heard) {
    *heard = (struct bus_frame){.id = frame->id};
    struct lcc_frame_head *head = &heard->head;
    lcc_frame_read(frame, head);
    if (tells_node(head)) {
        reader->node[head->source] = lcc_get(head->payload, LCC_NODE_BYTES);
    }
    heard->source_node = reader->node[head->source];
    heard->destination_node = reader->node[head->destination];
    heard->assembled = lcc_assembly_take(&reader->assembly, now_us, frame, &heard->message);
    if (head->kind == LCC_FRAME_GLOBAL || head->kind == LCC_FRAME_ADDRESSED ||
        head->kind == LCC_FRAME_DATAGRAM) {
        heard->type = bus_type_find(heard->message.mti);
    }
    heard->has_event = heard->type != NULL && heard->type->content == BUS_EVENT &&
                       heard->message.length == LCC_EVENT_BYTES;
    if (heard->has_event) {
        heard->event = lcc_get(heard->message.content, LCC_EVENT_BYTES);
    }
    if (head->kind == LCC_FRAME_RESET) {
        reader->node[head->source] = 0;
        lcc_assembly_forget(&reader->assembly, head->source);
    }
}

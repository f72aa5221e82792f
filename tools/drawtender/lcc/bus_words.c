#include "tools/drawtender/lcc/bus_words.h"

#include "protocol/lcc/identification.h"
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/memory.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { REPLY_FOLLOWS = 0x80 };

/* ---- a bounded text */

struct text {
    char *at; /* where the next character goes */
    size_t left;
};

static void add(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void add(struct text *text, const char *format, ...) {
    va_list values;
    va_start(values, format);
    int length = vsnprintf(text->at, text->left, format, values);
    va_end(values);
    size_t used = length < 0 ? 0 : (size_t)length;
    used = used < text->left ? used : text->left - 1;
    text->at += used;
    text->left -= used;
}

static void add_bytes(struct text *text, const uint8_t *bytes, unsigned length) {
    for (unsigned i = 0; i < length; i++) {
        add(text, " %02X", bytes[i]);
    }
}

static void add_id(struct text *text, uint64_t number, unsigned bytes) {
    char id[LCC_EVENT_TEXT];
    lcc_identifier_write(number, bytes, id);
    add(text, " %s", id);
}

/* ---- kinds of content */

/* The run of equal bits at the end of a range is what differs within it. */
static void add_range(struct text *text, uint64_t range) {
    uint64_t beyond = (range & 1) != 0 ? ~range : range;
    uint64_t mask = (beyond & -beyond) - 1;
    add_id(text, range & ~mask, LCC_EVENT_BYTES);
    add(text, " to");
    add_id(text, range | mask, LCC_EVENT_BYTES);
}

static void add_meaning(struct text *text, const char *what) {
    if (what != NULL && what[0] != '\0') {
        add(text, " (%s)", what);
    }
}

static void add_error(struct text *text, const struct lcc_message *message) {
    uint16_t code = (uint16_t)lcc_get(message->content, 2);
    add(text, ": %04X", code);
    add_meaning(text, bus_type_error(code));
    if (message->length < 4) {
        return;
    }
    uint16_t mti = (uint16_t)lcc_get(message->content + 2, 2);
    const struct bus_type *type = bus_type_find(mti & 0xFFF);
    add(text, ", to type %03X", mti);
    add_meaning(text, type != NULL ? type->name : NULL);
    add_bytes(text, message->content + 4, message->length - 4);
}

static void add_protocols(struct text *text, const struct lcc_message *message) {
    static const char *const names[] = {"simple node",
                                        "datagram",
                                        "stream",
                                        "memory configuration",
                                        "reservation",
                                        "events",
                                        "identification",
                                        "teach and learn",
                                        "remote button",
                                        "ACDI",
                                        "display",
                                        "simple node information",
                                        "CDI",
                                        "train control",
                                        "FDI",
                                        NULL,
                                        NULL,
                                        "function configuration",
                                        "firmware upgrade",
                                        "firmware upgrade active"};
    const char *before = ":";
    for (unsigned i = 0; i < sizeof names / sizeof names[0] && i / 8 < message->length; i++) {
        if (names[i] != NULL && (message->content[i / 8] << i % 8 & 0x80) != 0) {
            add(text, "%s %s", before, names[i]);
            before = ",";
        }
    }
    if (before[0] == ':') {
        add(text, ": none");
    }
}

/* What is not printable ASCII becomes '?'. */
static void add_string(struct text *text, const char *before, const char *string) {
    add(text, "%s \"", before);
    for (; string[0] != '\0'; string++) {
        add(text, "%c", string[0] >= ' ' && string[0] <= '~' ? string[0] : '?');
    }
    add(text, "\"");
}

static bool add_strings(struct text *text, const struct lcc_message *message) {
    struct lcc_identification node;
    if (!lcc_identification_read(message->content, message->length, &node)) {
        return false;
    }
    add_string(text, ":", node.manufacturer);
    add_string(text, ",", node.model);
    add_string(text, ", hardware", node.hardware);
    add_string(text, ", software", node.software);
    add_string(text, ", name", node.name);
    add_string(text, ", description", node.description);
    return true;
}

static void add_datagram(struct text *text, const struct lcc_message *message) {
    const uint8_t *bytes = message->content;
    const char *command =
        message->length >= 2 && bytes[0] == LCC_MEMORY ? bus_type_memory(bytes[1]) : NULL;
    if (command != NULL) {
        add(text, ": memory configuration, %s", command);
    }
    add(text, ":");
    add_bytes(text, bytes, message->length);
}

/* Adds the content in the words of its type. Returns false if it is not of the form that the type
 * has. */
static bool add_typed(struct text *text, const struct bus_frame *heard, const char *name) {
    const struct lcc_message *message = &heard->message;
    switch (heard->type != NULL ? heard->type->content : BUS_BYTES) {
    case BUS_BYTES:
        return false;
    case BUS_NODE:
        if (message->length == LCC_NODE_BYTES) {
            add_id(text, lcc_get(message->content, LCC_NODE_BYTES), LCC_NODE_BYTES);
        }
        return message->length == LCC_NODE_BYTES;
    case BUS_EVENT:
        if (heard->has_event) {
            add_id(text, heard->event, LCC_EVENT_BYTES);
            add_meaning(text, name);
        }
        return heard->has_event;
    case BUS_RANGE:
        if (message->length == LCC_EVENT_BYTES) {
            add_range(text, lcc_get(message->content, LCC_EVENT_BYTES));
        }
        return message->length == LCC_EVENT_BYTES;
    case BUS_ERROR:
        if (message->length >= 2) {
            add_error(text, message);
        }
        return message->length >= 2;
    case BUS_PROTOCOLS:
        add_protocols(text, message);
        return true;
    case BUS_CONFIRM:
        if (message->length == 1 && (message->content[0] & REPLY_FOLLOWS) != 0) {
            add(text, ", a reply follows");
        }
        return message->length == 1;
    case BUS_STRINGS:
        return add_strings(text, message);
    }
    return false;
}

static void add_content(struct text *text, const struct bus_frame *heard, const char *name) {
    const struct lcc_message *message = &heard->message;
    if (message->length == 0) {
        return;
    }
    if (message->mti == LCC_DATAGRAM) {
        add_datagram(text, message);
    } else if (!add_typed(text, heard, name)) {
        add(text, ":");
        add_bytes(text, message->content, message->length);
    }
}

/* ---- kinds of frame */

static void add_message(struct text *text, const struct bus_frame *heard, const char *name) {
    const char *part = bus_words_part(heard);
    if (part != NULL) {
        add(text, " to %03X", heard->head.destination);
    }
    if (part != NULL && heard->head.part != LCC_PART_ONLY) {
        add(text, ", %s frame", part);
    }
    switch (heard->assembled) {
    case LCC_ASSEMBLED_WHOLE:
        if (heard->head.part == LCC_PART_LAST) {
            add(text, ", %u bytes in all", heard->message.length);
        }
        add_content(text, heard, name);
        return;
    case LCC_ASSEMBLED_PART:
        break;
    case LCC_ASSEMBLED_NO_FIRST:
        add(text, " (no first frame was heard)");
        break;
    case LCC_ASSEMBLED_MIXED:
        add(text, " (the message before it was not ended)");
        break;
    case LCC_ASSEMBLED_TOO_LONG:
        add(text, " (too long to put together)");
        break;
    case LCC_ASSEMBLED_NO_ROOM:
        add(text, " (too many at once to put together)");
        break;
    }
    add(text, ":");
    add_bytes(text, heard->head.payload, heard->head.payload_length);
}

/* Adds the node id that a control frame has, or its bytes. */
static void add_control(struct text *text, const struct lcc_frame_head *head) {
    if (head->payload_length == LCC_NODE_BYTES) {
        add_id(text, lcc_get(head->payload, LCC_NODE_BYTES), LCC_NODE_BYTES);
    } else if (head->payload_length > 0) {
        add(text, ":");
        add_bytes(text, head->payload, head->payload_length);
    }
}

void bus_words(const struct bus_frame *heard, const char *name, char *out, size_t size) {
    struct text text = {out, size};
    const struct lcc_frame_head *head = &heard->head;
    char room[BUS_KIND_SIZE];
    add(&text, "%s", bus_words_kind(heard, room));
    switch (head->kind) {
    case LCC_FRAME_CHECK:
        add(&text, " %u: alias %03X? Part of the node id: %03X", head->check, head->source,
            head->check_bits);
        break;
    case LCC_FRAME_RESERVE:
    case LCC_FRAME_DEFINE:
    case LCC_FRAME_ENQUIRE:
    case LCC_FRAME_RESET:
        add_control(&text, head);
        break;
    case LCC_FRAME_GLOBAL:
    case LCC_FRAME_ADDRESSED:
    case LCC_FRAME_DATAGRAM:
        add_message(&text, heard, name);
        break;
    case LCC_FRAME_STREAM:
        add(&text, " to %03X:", head->destination);
        add_bytes(&text, head->payload, head->payload_length);
        break;
    case LCC_FRAME_OTHER:
        add(&text, " %08X", (unsigned)heard->id);
        if (head->payload_length > 0) {
            add(&text, ":");
        }
        add_bytes(&text, head->payload, head->payload_length);
        break;
    }
}

const char *bus_words_kind(const struct bus_frame *heard, char room[BUS_KIND_SIZE]) {
    static const char *const kinds[] = {
        [LCC_FRAME_OTHER] = "unknown frame", [LCC_FRAME_CHECK] = "CID",
        [LCC_FRAME_RESERVE] = "RID",         [LCC_FRAME_DEFINE] = "AMD",
        [LCC_FRAME_ENQUIRE] = "AME",         [LCC_FRAME_RESET] = "AMR",
        [LCC_FRAME_STREAM] = "Stream Data",
    };
    if (heard->type != NULL) {
        return heard->type->name;
    }
    if (kinds[heard->head.kind] != NULL) {
        return kinds[heard->head.kind];
    }
    snprintf(room, BUS_KIND_SIZE, "message of type %03X", heard->message.mti);
    return room;
}

const char *bus_words_part(const struct bus_frame *heard) {
    static const char *const parts[] = {[LCC_PART_ONLY] = "only",
                                        [LCC_PART_FIRST] = "first",
                                        [LCC_PART_LAST] = "last",
                                        [LCC_PART_MIDDLE] = "middle"};
    bool is_addressed =
        heard->head.kind == LCC_FRAME_ADDRESSED || heard->head.kind == LCC_FRAME_DATAGRAM;
    return is_addressed ? parts[heard->head.part] : NULL;
}

#include "tools/drawtender/lcc/bus_json.h"

#include "protocol/lcc/gridconnect.h"
#include "protocol/lcc/identifier.h"
#include "tools/drawtender/lcc/bus_words.h"

#include <stdio.h>

static void add_text(cJSON *object, const char *key, bool is_there, const char *text) {
    if (is_there) {
        cJSON_AddStringToObject(object, key, text);
    } else {
        cJSON_AddNullToObject(object, key);
    }
}

static void add_alias(cJSON *object, const char *key, bool is_there, uint16_t alias) {
    char text[8];
    snprintf(text, sizeof text, "%03X", alias);
    add_text(object, key, is_there, text);
}

static void add_id(cJSON *object, const char *key, bool is_there, uint64_t number, unsigned bytes) {
    char text[LCC_EVENT_TEXT];
    lcc_identifier_write(number, bytes, text);
    add_text(object, key, is_there, text);
}

static void add_frame(cJSON *object, const struct lcc_frame *frame) {
    char text[LCC_GRID_WRITTEN];
    unsigned length = lcc_grid_write(frame, text);
    text[length - 1] = '\0'; /* for the line end */
    cJSON_AddStringToObject(object, "frame", text);
}

/* The whole message's bytes, with its last frame. */
static void add_content(cJSON *object, const struct bus_frame *heard) {
    char text[2 * LCC_MESSAGE_MAX + 1] = "";
    bool is_whole = heard->assembled == LCC_ASSEMBLED_WHOLE;
    for (unsigned i = 0; is_whole && i < heard->message.length; i++) {
        snprintf(text + 2 * (size_t)i, 3, "%02X", heard->message.content[i]);
    }
    add_text(object, "content", is_whole, text);
}

cJSON *bus_json(uint64_t time_us, const struct lcc_frame *frame, const struct bus_frame *heard,
                const char *name) {
    char room[BUS_KIND_SIZE];
    char words[BUS_WORDS_SIZE];
    const char *part = bus_words_part(heard);
    bool is_to_one = part != NULL || heard->head.kind == LCC_FRAME_STREAM;
    bus_words(heard, name, words, sizeof words);
    cJSON *object = cJSON_CreateObject();
    cJSON_AddNumberToObject(object, "time", (double)(time_us / 1000) / 1000.0);
    cJSON_AddStringToObject(object, "event", "frame");
    add_frame(object, frame);
    add_alias(object, "alias", true, heard->head.source);
    add_id(object, "node", heard->source_node != 0, heard->source_node, LCC_NODE_BYTES);
    add_alias(object, "to", is_to_one, heard->head.destination);
    add_id(object, "to_node", is_to_one && heard->destination_node != 0, heard->destination_node,
           LCC_NODE_BYTES);
    cJSON_AddStringToObject(object, "kind", bus_words_kind(heard, room));
    add_text(object, "part", part != NULL, part);
    add_id(object, "id", heard->has_event, heard->event, LCC_EVENT_BYTES);
    add_text(object, "name", name[0] != '\0', name);
    add_content(object, heard);
    cJSON_AddStringToObject(object, "words", words);
    return object;
}

#include "protocol/lcc/node/cdi.h"

#include "protocol/lcc/node/events.h"

#include <string.h>

struct writer {
    char *text;
    size_t size, length;
};

static void put(struct writer *writer, char c) {
    if (writer->length < writer->size) {
        writer->text[writer->length] = c;
    }
    writer->length++;
}

static void raw(struct writer *writer, const char *words) {
    for (; *words != '\0'; words++) {
        put(writer, *words);
    }
}

static bool is_inner_byte(char c) {
    return ((unsigned char)c & 0xC0) == 0x80;
}

static void escaped(struct writer *writer, const char *words) {
    for (; *words != '\0'; words++) {
        switch (*words) {
        case '&':
            raw(writer, "&amp;");
            break;
        case '<':
            raw(writer, "&lt;");
            break;
        case '>':
            raw(writer, "&gt;");
            break;
        default:
            if (*words >= ' ' && *words <= '~') {
                put(writer, *words);
            } else if (!is_inner_byte(*words)) {
                put(writer, '?');
            }
        }
    }
}

static void element(struct writer *writer, const char *name, const char *words) {
    raw(writer, "<");
    raw(writer, name);
    raw(writer, ">");
    escaped(writer, words);
    raw(writer, "</");
    raw(writer, name);
    raw(writer, ">\n");
}

static void group(struct writer *writer, const struct lcc_node_setup *setup, unsigned first,
                  unsigned end, const char *name, const char *description) {
    if (first == end) {
        return;
    }
    raw(writer, "<group>\n");
    element(writer, "name", name);
    element(writer, "description", description);
    for (unsigned i = first; i < end; i++) {
        raw(writer, "<eventid>");
        element(writer, "name", lcc_events_words(setup, i));
        raw(writer, "</eventid>\n");
    }
    raw(writer, "</group>\n");
}

size_t lcc_cdi_write(const struct lcc_node_setup *setup, char *text, size_t size) {
    struct writer writer = {text, size, 0};
    raw(&writer, "<?xml version=\"1.0\"?>\n"
                 "<cdi xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" "
                 "xsi:noNamespaceSchemaLocation=\"https://openlcb.org/schema/cdi/1/4/cdi.xsd\">\n"
                 "<identification>\n");
    element(&writer, "manufacturer", setup->identification.manufacturer);
    element(&writer, "model", setup->identification.model);
    element(&writer, "hardwareVersion", setup->identification.hardware);
    element(&writer, "softwareVersion", setup->identification.software);
    raw(&writer, "</identification>\n<acdi/>\n<segment space=\"253\" origin=\"0\">\n");
    element(&writer, "name", "Events");
    element(&writer, "description",
            "Copy these into other nodes. They are set in the daemon's configuration and cannot be "
            "changed here.");
    group(&writer, setup, 0, 2 * setup->facts, "Produced by this node",
          "Each is sent when the state begins.");
    group(&writer, setup, 2 * setup->facts, lcc_events_count(setup), "Consumed by this node",
          "Each is a request when another node sends it, or the state of a line.");
    raw(&writer, "</segment>\n</cdi>\n");
    put(&writer, '\0');
    if (size > 0 && writer.length > size) {
        text[size - 1] = '\0';
    }
    return writer.length;
}

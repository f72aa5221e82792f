/* Worked frames: a node 0A.44.52.00.00.01 of alias 4F7, and a tool 05.01.01.01.A2.07 of alias 34C.
 * Each string was derived by hand from the standard beside it, and found equal to what an
 * independent library of the standard makes. Frames of the node are made here and compared; frames
 * of the tool are read. */
#include "protocol/lcc/alias.h"
#include "protocol/lcc/assembly.h"
#include "protocol/lcc/event.h"
#include "protocol/lcc/identification.h"
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/memory.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

#include <string.h>

static const uint64_t node = 0x0A4452000001;
enum { NODE = 0x4F7, TOOL = 0x34C };

static void check_message(uint16_t mti, uint16_t source, uint16_t destination, const void *content,
                          unsigned length, const char *text) {
    struct lcc_frame frames[LCC_FRAMES_MAX];
    const struct lcc_message message = {mti, source, destination, content, length};
    unsigned count = lcc_message_frames(&message, frames, LCC_FRAMES_MAX);
    lcc_text_check(frames, count, text);
    /* And back. */
    static struct lcc_assembly assembly;
    memset(&assembly, 0, sizeof assembly);
    struct lcc_message read = {0};
    for (unsigned i = 0; i < count; i++) {
        assert_int_equal(lcc_assembly_take(&assembly, 0, &frames[i], &read),
                         i + 1 < count ? LCC_ASSEMBLED_PART : LCC_ASSEMBLED_WHOLE);
    }
    assert_int_equal(read.mti, mti);
    assert_int_equal(read.source, source);
    assert_int_equal(read.destination, destination);
    assert_int_equal(read.length, length);
    assert_memory_equal(read.content, content, length);
}

static void check_event(uint16_t mti, uint16_t source, uint64_t event, const char *text) {
    uint8_t content[LCC_EVENT_BYTES];
    lcc_put(content, event, sizeof content);
    check_message(mti, source, 0, content, sizeof content, text);
}

/* CAN Frame Transfer S, 22 Jul 2024. */
static void a_node_takes_its_alias(void **state) {
    (void)state;
    struct lcc_alias alias = {0};
    lcc_alias_start(&alias, node);
    struct lcc_frame frames[8];
    unsigned count = 0;
    while (lcc_alias_next(&alias, 0, &frames[count])) {
        count++;
    }
    lcc_text_check(frames, count, ":X170A44F7N;:X164524F7N;:X150004F7N;:X140014F7N;");
    count = 0;
    while (lcc_alias_next(&alias, 1000000, &frames[count])) {
        count++;
    }
    lcc_text_check(frames, count, ":X107004F7N;:X107014F7N0A4452000001;");
}

/* CAN Frame Transfer S, 22 Jul 2024. */
static void control_frames(void **state) {
    (void)state;
    struct lcc_frame reset = lcc_frame_reset(node, NODE);
    assert_string_equal(lcc_text_of(&reset), ":X107034F7N0A4452000001;");
    struct lcc_frame wanted = lcc_text_frame(":X170504F7N;");
    struct lcc_frame_head head;
    lcc_frame_read(&wanted, &head);
    assert_int_equal(head.kind, LCC_FRAME_CHECK);
    assert_int_equal(head.check, 7);
    assert_int_equal(head.check_bits, 0x050);
    assert_int_equal(head.source, NODE);
}

/* Message Network S, 22 Jul 2024. */
static void messages_of_every_node(void **state) {
    (void)state;
    uint8_t id[LCC_NODE_BYTES];
    lcc_put(id, node, sizeof id);
    check_message(LCC_INITIALIZED, NODE, 0, id, 6, ":X191004F7N0A4452000001;");
    check_message(LCC_VERIFY_GLOBAL, TOOL, 0, "", 0, ":X1949034CN;");
    check_message(LCC_VERIFY_ADDRESSED, TOOL, NODE, "", 0, ":X1948834CN04F7;");
    check_message(LCC_VERIFIED, NODE, 0, id, 6, ":X191704F7N0A4452000001;");
    check_message(LCC_PROTOCOLS_INQUIRY, TOOL, NODE, "", 0, ":X1982834CN04F7;");
    uint8_t protocols[LCC_PROTOCOLS_BYTES];
    lcc_put(protocols,
            LCC_SUPPORTS_DATAGRAM | LCC_SUPPORTS_MEMORY | LCC_SUPPORTS_EVENTS | LCC_SUPPORTS_ACDI |
                LCC_SUPPORTS_NODE_INFORMATION | LCC_SUPPORTS_CDI,
            sizeof protocols);
    check_message(LCC_PROTOCOLS_REPLY, NODE, TOOL, protocols, 3, ":X196684F7N034C545800;");
    uint8_t rejected[4];
    lcc_put(rejected, LCC_MTI_UNKNOWN, 2);
    lcc_put(rejected + 2, 0x048, 2);
    check_message(0x048, TOOL, NODE, "", 0, ":X1904834CN04F7;");
    check_message(LCC_REJECTED, NODE, TOOL, rejected, 4, ":X190684F7N034C10430048;");
}

/* Event Transport S and Event Identifiers S, 22 Jul 2024. */
static void events(void **state) {
    (void)state;
    check_event(LCC_PRODUCER_VALID, NODE, lcc_event_of_node(node, 0x0000),
                ":X195444F7N0A44520000010000;");
    check_event(LCC_PRODUCER_INVALID, NODE, lcc_event_of_node(node, 0x0001),
                ":X195454F7N0A44520000010001;");
    check_event(LCC_CONSUMER_UNKNOWN, NODE, LCC_EMERGENCY_OFF, ":X194C74F7N010000000000FFFF;");
    check_event(LCC_IDENTIFY_PRODUCER, TOOL, lcc_event_of_node(node, 0x0000),
                ":X1991434CN0A44520000010000;");
    check_message(LCC_IDENTIFY_EVENTS_ADDRESSED, TOOL, NODE, "", 0, ":X1996834CN04F7;");
    check_event(LCC_EVENT_REPORT, TOOL, lcc_event_of_node(node, 0x0100),
                ":X195B434CN0A44520000010100;");
    check_event(LCC_EVENT_REPORT, NODE, lcc_event_of_node(node, 0x0002),
                ":X195B44F7N0A44520000010002;");
}

/* Broadcast Time S, 25 Apr 2021. */
static void clock_events(void **state) {
    (void)state;
    check_event(LCC_CONSUMER_RANGE, NODE, LCC_DEFAULT_CLOCK | 0xFFFF,
                ":X194A44F7N010100000100FFFF;");
    check_event(LCC_EVENT_REPORT, TOOL, LCC_DEFAULT_CLOCK | 8 << 8 | 10,
                ":X195B434CN010100000100080A;");
}

/* Simple Node Information S, 22 Jul 2024. */
static void simple_node_information(void **state) {
    (void)state;
    check_message(LCC_NODE_INFORMATION_REQUEST, TOOL, NODE, "", 0, ":X19DE834CN04F7;");
    const struct lcc_identification identification = {
        .manufacturer = "Dr", .model = "S~n", .hardware = "1", .software = "0.2", .name = "KN"};
    uint8_t content[LCC_IDENTIFICATION_MAX];
    unsigned length = lcc_identification_reply(&identification, content);
    check_message(LCC_NODE_INFORMATION_REPLY, NODE, TOOL, content, length,
                  ":X19A084F7N134C04447200537E;:X19A084F7N334C6E003100302E;"
                  ":X19A084F7N334C3200024B4E00;:X19A084F7N234C00;");
}

/* Datagram Transport S, 25 Apr 2021; Memory Configuration S, 22 Jul 2024. */
static void check_datagram(uint16_t source, uint16_t destination, const uint8_t *datagram,
                           unsigned length, const char *text) {
    check_message(LCC_DATAGRAM, source, destination, datagram, length, text);
}

static void memory_options(void **state) {
    (void)state;
    uint8_t reply[LCC_DATAGRAM_MAX];
    check_datagram(TOOL, NODE, (const uint8_t[]){0x20, 0x80}, 2, ":X1A4F734CN2080;");
    check_message(LCC_DATAGRAM_OK, NODE, TOOL, (const uint8_t[]){0x80}, 1, ":X19A284F7N034C80;");
    unsigned length = lcc_memory_reply_options(LCC_OFFERS_UNALIGNED_READ | LCC_OFFERS_READ_MADE |
                                                   LCC_OFFERS_READ_NAMED,
                                               LCC_SPACE_CDI, LCC_SPACE_NAMED, reply);
    check_datagram(NODE, TOOL, reply, length, ":X1A34C4F7N20824C00E2FFFB;");
    check_message(LCC_DATAGRAM_OK, TOOL, NODE, (const uint8_t[]){0x00}, 1, ":X19A2834CN04F700;");
}

static void memory_read(void **state) {
    (void)state;
    uint8_t datagram[LCC_DATAGRAM_MAX], reply[LCC_DATAGRAM_MAX];
    unsigned length = lcc_memory_ask_read(LCC_SPACE_CONFIGURATION, 0x10, 8, datagram);
    check_datagram(TOOL, NODE, datagram, length, ":X1A4F734CN20410000001008;");
    struct lcc_memory_command command;
    lcc_memory_read(datagram, length, &command);
    assert_int_equal(command.kind, LCC_MEMORY_READ);
    assert_int_equal(command.space, LCC_SPACE_CONFIGURATION);
    assert_int_equal(command.address, 0x10);
    assert_int_equal(command.count, 8);
    uint8_t event[LCC_EVENT_BYTES];
    lcc_put(event, lcc_event_of_node(node, 0x0100), sizeof event);
    length = lcc_memory_reply_read(&command, event, sizeof event, reply);
    assert_int_equal(length, 14);
    check_datagram(NODE, TOOL, reply, length,
                   ":X1B34C4F7N2051000000100A44;:X1D34C4F7N520000010100;");
}

static void memory_write_is_refused(void **state) {
    (void)state;
    static const uint8_t datagram[] = {0x20, 0x01, 0, 0, 0,    0x10, 0x0A,
                                       0x44, 0x52, 0, 0, 0x01, 0x01, 0x01};
    check_datagram(TOOL, NODE, datagram, sizeof datagram,
                   ":X1B4F734CN2001000000100A44;:X1D4F734CN520000010101;");
    struct lcc_memory_command command;
    lcc_memory_read(datagram, sizeof datagram, &command);
    assert_int_equal(command.kind, LCC_MEMORY_WRITE);
    assert_int_equal(command.count, 8);
    uint8_t reply[LCC_DATAGRAM_MAX];
    unsigned length = lcc_memory_reply_failed(&command, LCC_READ_ONLY, reply);
    check_datagram(NODE, TOOL, reply, length, ":X1A34C4F7N2019000000101083;");
}

static void memory_space_and_reset(void **state) {
    (void)state;
    struct lcc_memory_command command;
    lcc_memory_read((const uint8_t[]){0x20, 0x84, 0xFD}, 3, &command);
    assert_int_equal(command.kind, LCC_MEMORY_SPACE);
    check_datagram(TOOL, NODE, (const uint8_t[]){0x20, 0x84, 0xFD}, 3, ":X1A4F734CN2084FD;");
    const struct lcc_space there = {.is_there = true, .highest = 0xFF};
    uint8_t reply[LCC_DATAGRAM_MAX];
    unsigned length = lcc_memory_reply_space(command.space, &there, reply);
    check_datagram(NODE, TOOL, reply, length, ":X1A34C4F7N2087FD000000FF00;");
    lcc_memory_read((const uint8_t[]){0x20, 0xA9}, 2, &command);
    assert_int_equal(command.kind, LCC_MEMORY_RESET);
    check_datagram(TOOL, NODE, (const uint8_t[]){0x20, 0xA9}, 2, ":X1A4F734CN20A9;");
}

static void a_datagram_is_rejected(void **state) {
    (void)state;
    uint8_t error[2];
    lcc_put(error, LCC_TYPE_UNKNOWN, 2);
    check_message(LCC_DATAGRAM_REJECTED, NODE, TOOL, error, 2, ":X19A484F7N034C1042;");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_node_takes_its_alias),
        cmocka_unit_test(control_frames),
        cmocka_unit_test(messages_of_every_node),
        cmocka_unit_test(events),
        cmocka_unit_test(clock_events),
        cmocka_unit_test(simple_node_information),
        cmocka_unit_test(memory_options),
        cmocka_unit_test(memory_read),
        cmocka_unit_test(memory_write_is_refused),
        cmocka_unit_test(memory_space_and_reset),
        cmocka_unit_test(a_datagram_is_rejected),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

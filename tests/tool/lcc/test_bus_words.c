/* Frames of an LCC bus in words. The frames are worked examples, each derived by hand from the
 * standard beside it and found equal to what an independent library of the standard makes: a node
 * 0A.44.52.00.00.01 of alias 4F7, and a tool of alias 34C. The words are ours. */
#include "support/check.h"
#include "support/lcc/lcc_text.h"
#include "tools/drawtender/lcc/bus_words.h"

#include <string.h>

static struct bus_reader reader;
static struct bus_frame heard;

static int forget(void **state) {
    (void)state;
    memset(&reader, 0, sizeof reader);
    return 0;
}

/* Hears the frame and returns its words. */
static const char *words_of(const char *frame, const char *name) {
    static char words[BUS_WORDS_SIZE];
    static struct lcc_frame read;
    read = lcc_text_frame(frame);
    bus_reader_take(&reader, 0, &read, &heard);
    bus_words(&heard, name, words, sizeof words);
    return words;
}

static void says(const char *frame, const char *words) {
    assert_string_equal(words_of(frame, ""), words);
}

/* CAN Frame Transfer S, 22 Jul 2024. */
static void aliases_are_taken_and_given_back(void **state) {
    (void)state;
    says(":X170A44F7N;", "CID 7: alias 4F7? Part of the node id: 0A4");
    says(":X140014F7N;", "CID 4: alias 4F7? Part of the node id: 001");
    says(":X107004F7N;", "RID");
    assert_true(heard.source_node == 0);
    says(":X107014F7N0A4452000001;", "AMD 0A.44.52.00.00.01");
    assert_true(heard.source_node == 0x0A4452000001);
    says(":X1070234CN;", "AME");
    says(":X170504F7N;", "CID 7: alias 4F7? Part of the node id: 050");
    assert_true(heard.source_node == 0x0A4452000001);
    says(":X107034F7N0A4452000001;", "AMR 0A.44.52.00.00.01");
    assert_true(heard.source_node == 0x0A4452000001); /* it was, up to here */
    says(":X107004F7N;", "RID");
    assert_true(heard.source_node == 0);
}

/* Message Network S, 22 Jul 2024. */
static void nodes_are_known_by_what_they_say(void **state) {
    (void)state;
    says(":X1949034CN0A4452000001;", "Verify Node ID 0A.44.52.00.00.01");
    assert_true(heard.source_node == 0); /* who asks is somebody else */
    says(":X191004F7N0A4452000001;", "Initialization Complete 0A.44.52.00.00.01");
    assert_true(heard.source_node == 0x0A4452000001);
    forget(NULL);
    says(":X1949034CN;", "Verify Node ID");
    says(":X1948834CN04F7;", "Verify Node ID to 4F7");
    assert_true(heard.destination_node == 0);
    says(":X191704F7N0A4452000001;", "Verified Node ID 0A.44.52.00.00.01");
    assert_true(heard.source_node == 0x0A4452000001);
    says(":X1948834CN04F7;", "Verify Node ID to 4F7");
    assert_true(heard.destination_node == 0x0A4452000001);
}

/* Message Network S, 22 Jul 2024. */
static void services_are_named(void **state) {
    (void)state;
    says(":X1982834CN04F7;", "Protocol Support Inquiry to 4F7");
    says(":X196684F7N034C545800;",
         "Protocol Support Reply to 34C: datagram, memory configuration, events, ACDI, simple node "
         "information, CDI");
    says(":X196684F7N034C000000;", "Protocol Support Reply to 34C: none");
    says(":X1904834CN04F7;", "message of type 048 to 4F7");
    says(":X190684F7N034C10430048;",
         "Optional Interaction Rejected to 34C: 1043 (unknown type of message), to type 048");
    says(":X1996834CN04F7;", "Identify Events to 4F7");
    says(":X19DE834CN04F7;", "Simple Node Information Request to 4F7");
}

/* Event Transport S and Event Identifiers S, 22 Jul 2024. */
static void events_are_told_with_their_names(void **state) {
    (void)state;
    says(":X195444F7N0A44520000010000;", "Producer Identified valid 0A.44.52.00.00.01.00.00");
    says(":X195454F7N0A44520000010001;", "Producer Identified invalid 0A.44.52.00.00.01.00.01");
    says(":X194C74F7N010000000000FFFF;", "Consumer Identified unknown 01.00.00.00.00.00.FF.FF");
    says(":X1991434CN0A44520000010000;", "Identify Producer 0A.44.52.00.00.01.00.00");
    says(":X195B434CN0A44520000010100;", "Event Report 0A.44.52.00.00.01.01.00");
    assert_true(heard.has_event && heard.event == 0x0A44520000010100);
    assert_string_equal(words_of(":X195B44F7N0A44520000010002;", "Kettle Narrows: moving"),
                        "Event Report 0A.44.52.00.00.01.00.02 (Kettle Narrows: moving)");
    says(":X195B44F7N0A4452;", "Event Report: 0A 44 52"); /* ill-formed */
    assert_false(heard.has_event);
}

/* Broadcast Time S, 25 Apr 2021, for the first; Event Transport S, 22 Jul 2024, for the others: a
 * run of equal bits from 00.00, and one from 00.08. */
static void a_range_is_told_by_its_ends(void **state) {
    (void)state;
    says(":X194A44F7N010100000100FFFF;",
         "Consumer Range Identified 01.01.00.00.01.00.00.00 to 01.01.00.00.01.00.FF.FF");
    says(":X195244F7N0A44520000010007;",
         "Producer Range Identified 0A.44.52.00.00.01.00.00 to 0A.44.52.00.00.01.00.07");
    says(":X195244F7N0A44520000010008;",
         "Producer Range Identified 0A.44.52.00.00.01.00.08 to 0A.44.52.00.00.01.00.0F");
}

/* Simple Node Information S, 22 Jul 2024. */
static void a_message_of_several_frames_is_told_by_its_last(void **state) {
    (void)state;
    says(":X19A084F7N134C04447200537E;",
         "Simple Node Information Reply to 34C, first frame: 04 44 72 00 53 7E");
    says(":X19A084F7N334C6E003100302E;",
         "Simple Node Information Reply to 34C, middle frame: 6E 00 31 00 30 2E");
    says(":X19A084F7N334C3200024B4E00;",
         "Simple Node Information Reply to 34C, middle frame: 32 00 02 4B 4E 00");
    says(":X19A084F7N234C00;",
         "Simple Node Information Reply to 34C, last frame, 19 bytes in all: \"Dr\", \"S~n\", "
         "hardware \"1\", software \"0.2\", name \"KN\", description \"\"");
    says(":X19A084F7N234C00;",
         "Simple Node Information Reply to 34C, last frame (no first frame was heard): 00");
}

/* The same with an escape sequence where the manufacturer's name was. */
static void nothing_that_steers_a_terminal_is_told(void **state) {
    (void)state;
    says(":X19A084F7N134C041B5B00537E;",
         "Simple Node Information Reply to 34C, first frame: 04 1B 5B 00 53 7E");
    words_of(":X19A084F7N334C6E003100302E;", "");
    words_of(":X19A084F7N334C3200024B4E00;", "");
    says(":X19A084F7N234C00;",
         "Simple Node Information Reply to 34C, last frame, 19 bytes in all: \"?[\", \"S~n\", "
         "hardware \"1\", software \"0.2\", name \"KN\", description \"\"");
}

/* Datagram Transport S, 25 Apr 2021; Memory Configuration S, 22 Jul 2024. */
static void datagrams_are_put_together(void **state) {
    (void)state;
    says(":X1A4F734CN2080;", "Datagram to 4F7: memory configuration, get options: 20 80");
    says(":X19A284F7N034C80;", "Datagram Received OK to 34C, a reply follows");
    says(":X19A2834CN04F700;", "Datagram Received OK to 4F7");
    says(":X1A4F734CN20410000001008;",
         "Datagram to 4F7: memory configuration, read: 20 41 00 00 00 10 08");
    says(":X1B34C4F7N2051000000100A44;", "Datagram to 34C, first frame: 20 51 00 00 00 10 0A 44");
    says(":X1D34C4F7N520000010100;",
         "Datagram to 34C, last frame, 14 bytes in all: memory configuration, read reply: 20 51 00 "
         "00 00 10 0A 44 52 00 00 01 01 00");
    says(":X1A34C4F7N2019000000101083;",
         "Datagram to 34C: memory configuration, write failed: 20 19 00 00 00 10 10 83");
    says(":X19A484F7N034C1042;",
         "Datagram Rejected to 34C: 1042 (unknown type of datagram or stream)");
    says(":X1A4F734CN2084FD;",
         "Datagram to 4F7: memory configuration, get space information: 20 84 FD");
    says(":X1A34C4F7N2087FD000000FF00;",
         "Datagram to 34C: memory configuration, space information: 20 87 FD 00 00 00 FF 00");
    says(":X1A4F734CN20A9;", "Datagram to 4F7: memory configuration, reset: 20 A9");
}

/* CAN Frame Transfer S: reserved formats, and a destination that is missing (Message Network S). */
static void what_is_unknown_is_told_as_it_is(void **state) {
    (void)state;
    says(":X1860034CN01;", "unknown frame 1860034C: 01");
    says(":X1982834CN;", "unknown frame 1982834C");
    says(":X1F4F734CN0102;", "Stream Data to 4F7: 01 02");
}

static void words_are_cut_to_their_room(void **state) {
    (void)state;
    char few[8];
    memset(few, '#', sizeof few);
    struct lcc_frame frame = lcc_text_frame(":X195B434CN0A44520000010100;");
    bus_reader_take(&reader, 0, &frame, &heard);
    bus_words(&heard, "", few, sizeof few);
    assert_string_equal(few, "Event R");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(aliases_are_taken_and_given_back, forget),
        cmocka_unit_test_setup(nodes_are_known_by_what_they_say, forget),
        cmocka_unit_test_setup(services_are_named, forget),
        cmocka_unit_test_setup(events_are_told_with_their_names, forget),
        cmocka_unit_test_setup(a_range_is_told_by_its_ends, forget),
        cmocka_unit_test_setup(a_message_of_several_frames_is_told_by_its_last, forget),
        cmocka_unit_test_setup(nothing_that_steers_a_terminal_is_told, forget),
        cmocka_unit_test_setup(datagrams_are_put_together, forget),
        cmocka_unit_test_setup(what_is_unknown_is_told_as_it_is, forget),
        cmocka_unit_test_setup(words_are_cut_to_their_room, forget),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Readers of the bus: text however it is cut gives the same frames; a frame that is written is read
 * again; assembly, memory commands and identification stay within their limits; no frame's words
 * can steer a terminal. */
#include "fuzz/fuzz.h"
#include "protocol/lcc/assembly.h"
#include "protocol/lcc/gridconnect.h"
#include "protocol/lcc/identification.h"
#include "protocol/lcc/memory.h"
#include "tools/drawtender/lcc/bus_words.h"

#include <string.h>

static bool is_same(const struct lcc_frame *a, const struct lcc_frame *b) {
    return a->id == b->id && a->length == b->length && memcmp(a->data, b->data, a->length) == 0;
}

static void check_written(const struct lcc_frame *frame) {
    char text[LCC_GRID_WRITTEN];
    const char *at = text;
    size_t length = lcc_grid_write(frame, text);
    struct lcc_grid_reader reader = {0};
    struct lcc_frame again;
    FUZZ_HOLDS(lcc_grid_next(&reader, &at, &length, &again) && is_same(frame, &again));
}

static void check_datagram(const struct lcc_message *message) {
    struct lcc_memory_command command;
    lcc_memory_read(message->content, message->length, &command);
    uint8_t reply[LCC_DATAGRAM_MAX];
    if (command.kind == LCC_MEMORY_READ || command.kind == LCC_MEMORY_WRITE) {
        uint8_t data[LCC_MEMORY_BYTES_MAX] = {0};
        FUZZ_HOLDS(command.count >= 1 && command.count <= LCC_MEMORY_BYTES_MAX);
        FUZZ_HOLDS(lcc_memory_reply_read(&command, data, command.count, reply) <= LCC_DATAGRAM_MAX);
    }
    if (command.kind == LCC_MEMORY_WRITE) {
        FUZZ_HOLDS(command.data + command.count == message->content + message->length);
    }
}

static void check_message(const struct lcc_message *message) {
    FUZZ_HOLDS(message->length <= LCC_MESSAGE_MAX);
    struct lcc_identification identification;
    if (lcc_identification_read(message->content, message->length, &identification)) {
        uint8_t content[LCC_IDENTIFICATION_MAX];
        FUZZ_HOLDS(lcc_identification_reply(&identification, content) <= message->length);
    }
    if (message->mti == LCC_DATAGRAM) {
        FUZZ_HOLDS(message->length <= LCC_DATAGRAM_MAX);
        check_datagram(message);
    }
    struct lcc_frame frames[LCC_FRAMES_MAX];
    FUZZ_HOLDS(lcc_message_frames(message, frames, LCC_FRAMES_MAX) > 0);
}

static void check_words(struct bus_reader *reader, uint64_t now_us, const struct lcc_frame *frame) {
    struct bus_frame heard;
    char words[BUS_WORDS_SIZE];
    bus_reader_take(reader, now_us, frame, &heard);
    bus_words(&heard, "", words, sizeof words);
    FUZZ_HOLDS(words[0] != '\0' && strlen(words) < sizeof words - 1); /* none is cut */
    for (const char *at = words; at[0] != '\0'; at++) {
        FUZZ_HOLDS(at[0] >= ' ' && at[0] <= '~');
    }
}

/* The next frame of a reader that gets the stream in pieces of `piece` bytes. */
static bool next(struct lcc_grid_reader *reader, const char **at, size_t *left, size_t piece,
                 struct lcc_frame *frame) {
    while (*left > 0) {
        size_t length = piece < *left ? piece : *left;
        size_t given = length;
        const char *from = *at;
        bool is_whole = lcc_grid_next(reader, &from, &length, frame);
        FUZZ_HOLDS(is_whole || length == 0);
        *at += given - length;
        *left -= given - length;
        if (is_whole) {
            return true;
        }
    }
    return false;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) {
        return 0;
    }
    static struct lcc_assembly assembly;
    static struct bus_reader bus;
    memset(&assembly, 0, sizeof assembly);
    memset(&bus, 0, sizeof bus);
    struct lcc_grid_reader readers[2] = {0};
    const char *at[2] = {(const char *)data + 1, (const char *)data + 1};
    size_t left[2] = {size - 1, size - 1};
    uint64_t now_us = 0;
    for (;;) {
        struct lcc_frame whole = {0}, cut = {0};
        bool is_whole = next(&readers[0], &at[0], &left[0], size, &whole);
        FUZZ_HOLDS(next(&readers[1], &at[1], &left[1], 1u + data[0] % 32, &cut) == is_whole);
        if (!is_whole) {
            return 0;
        }
        FUZZ_HOLDS(is_same(&whole, &cut) && whole.length <= LCC_FRAME_BYTES);
        check_written(&whole);
        check_words(&bus, now_us, &whole);
        struct lcc_message message;
        if (lcc_assembly_take(&assembly, now_us, &whole, &message) == LCC_ASSEMBLED_WHOLE) {
            check_message(&message);
        }
        now_us += 100000;
    }
}

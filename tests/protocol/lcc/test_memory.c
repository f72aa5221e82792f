/* Memory Configuration S, 22 Jul 2024. */
#include "protocol/lcc/memory.h"
#include "support/check.h"

static struct lcc_memory_command read_of(const uint8_t *datagram, unsigned length) {
    struct lcc_memory_command command;
    lcc_memory_read(datagram, length, &command);
    return command;
}

#define COMMAND(...)                                                                               \
    read_of((const uint8_t[]){__VA_ARGS__}, sizeof(const uint8_t[]){__VA_ARGS__} / sizeof(uint8_t))

static void the_space_stands_in_the_command_or_in_a_byte(void **state) {
    (void)state;
    struct lcc_memory_command command = COMMAND(0x20, 0x43, 0, 0, 1, 2, 64);
    assert_int_equal(command.kind, LCC_MEMORY_READ);
    assert_int_equal(command.space, 0xFF);
    assert_int_equal(command.address, 0x102);
    assert_int_equal(command.count, 64);
    assert_int_equal(COMMAND(0x20, 0x42, 0, 0, 0, 0, 1).space, 0xFE);
    assert_int_equal(COMMAND(0x20, 0x41, 0, 0, 0, 0, 1).space, 0xFD);
    command = COMMAND(0x20, 0x40, 0, 0, 0, 0, 0xFB, 5);
    assert_int_equal(command.space, 0xFB);
    assert_int_equal(command.count, 5);
}

static void a_count_is_1_to_64(void **state) {
    (void)state;
    assert_int_equal(COMMAND(0x20, 0x41, 0, 0, 0, 0, 0).kind, LCC_MEMORY_ILL_FORMED);
    assert_int_equal(COMMAND(0x20, 0x41, 0, 0, 0, 0, 65).kind, LCC_MEMORY_ILL_FORMED);
    assert_int_equal(COMMAND(0x20, 0x01, 0, 0, 0, 0).kind, LCC_MEMORY_ILL_FORMED);
}

static void what_is_too_short_or_too_long_is_ill_formed(void **state) {
    (void)state;
    static const uint8_t read[] = {0x20, 0x40, 0, 0, 0, 0, 0xFB, 5};
    for (unsigned length = 0; length < sizeof read; length++) {
        assert_int_equal(read_of(read, length).kind, LCC_MEMORY_ILL_FORMED);
    }
    assert_int_equal(COMMAND(0x20, 0x84).kind, LCC_MEMORY_ILL_FORMED);
    assert_int_equal(COMMAND(0x20, 0x41, 0, 0, 0, 0, 5, 0).kind, LCC_MEMORY_ILL_FORMED);
    assert_int_equal(COMMAND(0x20, 0x88, 1, 2, 3, 4, 5).kind, LCC_MEMORY_ILL_FORMED);
    assert_int_equal(COMMAND(0x20, 0x08, 0, 0, 0, 0, 0xFD, 1).kind, LCC_MEMORY_ILL_FORMED);
}

static void what_is_not_offered_is_unknown(void **state) {
    (void)state;
    static const uint8_t commands[] = {0x20, 0x21, 0x60, 0x63, 0x8C, 0xA0, 0xA1, 0xAA, 0xFF, 0x50};
    for (size_t i = 0; i < sizeof commands; i++) {
        const uint8_t datagram[] = {0x20, commands[i], 0, 0, 0, 0, 0, 1};
        assert_int_equal(read_of(datagram, sizeof datagram).kind, LCC_MEMORY_UNKNOWN);
    }
}

static void a_masked_write_counts_pairs(void **state) {
    (void)state;
    struct lcc_memory_command command = COMMAND(0x20, 0x09, 0, 0, 0, 0, 0xFF, 1, 0xFF, 2);
    assert_int_equal(command.kind, LCC_MEMORY_WRITE_MASKED);
    assert_int_equal(command.count, 2);
    uint8_t reply[LCC_DATAGRAM_MAX];
    assert_int_equal(lcc_memory_reply_failed(&command, LCC_READ_ONLY, reply), 8);
    assert_int_equal(reply[1], 0x19);
}

static void a_reply_repeats_the_place_as_it_was_asked(void **state) {
    (void)state;
    struct lcc_memory_command command = COMMAND(0x20, 0x40, 0, 0, 0, 9, 0xFC, 1);
    uint8_t reply[LCC_DATAGRAM_MAX];
    assert_int_equal(lcc_memory_reply_read(&command, (const uint8_t *)"x", 1, reply), 8);
    assert_memory_equal(reply, ((const uint8_t[]){0x20, 0x50, 0, 0, 0, 9, 0xFC, 'x'}), 8);
    assert_int_equal(lcc_memory_reply_failed(&command, LCC_ADDRESS_OUTSIDE, reply), 9);
    assert_memory_equal(reply, ((const uint8_t[]){0x20, 0x58, 0, 0, 0, 9, 0xFC, 0x10, 0x82}), 9);
}

static void an_absent_space_and_a_lock(void **state) {
    (void)state;
    uint8_t reply[LCC_DATAGRAM_MAX];
    const struct lcc_space absent = {0};
    assert_int_equal(lcc_memory_reply_space(0x12, &absent, reply), 8);
    assert_int_equal(reply[1], 0x86);
    struct lcc_memory_command command = COMMAND(0x20, 0x88, 5, 1, 1, 1, 0xA2, 7);
    assert_int_equal(command.kind, LCC_MEMORY_LOCK);
    assert_true(command.node == 0x05010101A207);
    assert_int_equal(lcc_memory_reply_lock(command.node, reply), 8);
    assert_memory_equal(reply, ((const uint8_t[]){0x20, 0x8A, 5, 1, 1, 1, 0xA2, 7}), 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_space_stands_in_the_command_or_in_a_byte),
        cmocka_unit_test(a_count_is_1_to_64),
        cmocka_unit_test(what_is_too_short_or_too_long_is_ill_formed),
        cmocka_unit_test(what_is_not_offered_is_unknown),
        cmocka_unit_test(a_masked_write_counts_pairs),
        cmocka_unit_test(a_reply_repeats_the_place_as_it_was_asked),
        cmocka_unit_test(an_absent_space_and_a_lock),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

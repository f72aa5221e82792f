/* The bytes of a row of lamps: played into a shift register, and read as a chain of lamps would. */
#include "stand/row.h"
#include "support/check.h"

#include <string.h>

static bool lit[STAND_PLACES_MAX];
static enum stand_colour colour[STAND_PLACES_MAX];
static unsigned char bytes[ROW_BYTES_MAX];

static int clear(void **state) {
    (void)state;
    memset(lit, 0, sizeof lit);
    memset(colour, 0, sizeof colour);
    return 0;
}

/* Outputs of a chain: each clock moves all one further, and takes the bit into the first. The most
 * significant bit of a byte is the first on the wire (SPI mode 0, from memory). */
static void clock_in(bool outputs[], unsigned places, size_t count) {
    for (size_t i = 0; i < count * 8; i++) {
        memmove(&outputs[1], &outputs[0], (places - 1) * sizeof outputs[0]);
        outputs[0] = (bytes[i / 8] >> (7 - i % 8) & 1) != 0;
    }
}

static void each_bit_comes_to_its_place_in_the_chain(void **state) {
    (void)state;
    static const unsigned lengths[] = {1, 8, 12, 16, STAND_PLACES_MAX};
    for (size_t l = 0; l < sizeof lengths / sizeof lengths[0]; l++) {
        for (unsigned inversed = 0; inversed < 2; inversed++) {
            struct stand_row row = {.places = lengths[l], .is_inversed = inversed == 1};
            for (unsigned place = 0; place < row.places; place++) {
                bool outputs[STAND_PLACES_MAX] = {false};
                memset(lit, 0, sizeof lit);
                lit[place] = true;
                clock_in(outputs, row.places, row_bytes(&row, lit, colour, bytes));
                for (unsigned i = 0; i < row.places; i++) {
                    assert_int_equal(outputs[i], (i == place) != row.is_inversed);
                }
            }
        }
    }
}

static void colours_follow_32_zeros_in_the_order_of_places(void **state) {
    (void)state;
    static const struct stand_row row = {
        .kind = STAND_ROW_ADDRESSABLE, .places = 3, .brightness = 0.5};
    static const unsigned char wanted[] = {0,    0,   0, 0,   /* start */
                                           0xf0, 0,   0, 255, /* red; 16 of 31 */
                                           0xf0, 0,   0, 0,   /* not lit */
                                           0xf0, 255, 0, 0,   0, 0, 0, 0, 0};
    lit[0] = lit[2] = true;
    colour[0] = STAND_RED;
    colour[2] = STAND_BLUE;
    assert_int_equal(row_bytes(&row, lit, colour, bytes), sizeof wanted);
    assert_memory_equal(bytes, wanted, sizeof wanted);
}

/* Each lamp passes the data on half a clock later: n lamps need n / 2 clocks more (from memory). */
static void the_longest_chain_has_clocks_enough(void **state) {
    (void)state;
    for (unsigned places = 1; places <= STAND_PLACES_MAX; places++) {
        const struct stand_row row = {
            .kind = STAND_ROW_ADDRESSABLE, .places = places, .brightness = 1};
        size_t count = row_bytes(&row, lit, colour, bytes);
        assert_true(count <= ROW_BYTES_MAX);
        assert_true((count - 4 - 4 * places) * 8 >= places / 2 + 1);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(each_bit_comes_to_its_place_in_the_chain, clear),
        cmocka_unit_test_setup(colours_follow_32_zeros_in_the_order_of_places, clear),
        cmocka_unit_test_setup(the_longest_chain_has_clocks_enough, clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

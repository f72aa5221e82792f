/* The table of guards is true of the core: for bridges with all and with little, each row is tried
 * out on the compiled core (guards/truth.h). */
#include "core/words/guard_words.h"
#include "guards/truth.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <stdint.h>

/* What a bridge may have or not. */
static const size_t parts[] = {
#define PART(member) offsetof(struct bridge_setup, member)
#define END(e, member) PART(track[0].end[e].member)
    PART(has_lock),
    PART(has_lock_drive),
    PART(has_locked),
    PART(has_withdrawn),
    PART(has_nearly_seated),
    PART(has_nearly_open),
    PART(has_open),
    PART(has_overtravel),
    PART(has_stop_circuit),
    PART(motion.has_position),
    PART(motion.has_current),
    PART(track[0].has_span_detector),
    PART(track[0].has_span_power_proof),
    PART(track[0].end[1].is_used),
    END(0, has_approach_detector),
    END(0, has_standing_detector),
    END(0, has_stop_detector),
    END(0, has_signal_proof),
    END(0, has_stop_power_proof),
    END(1, has_approach_detector),
    END(1, has_standing_detector),
    END(1, has_stop_detector),
    END(1, has_signal_proof),
    END(1, has_stop_power_proof),
};
enum { SETUPS = 60, OPEN = 6 /* of the parts */ };
enum { PARTS = sizeof parts / sizeof parts[0] };

struct tally {
    unsigned setups, rows;
    unsigned hits[GUARD_THINGS][GUARD_SORTS];
};

static bool *part_of(struct bridge_setup *setup, size_t i) {
    return (bool *)((char *)setup + parts[i]);
}

/* A bit for each part; those of a hand-lifted span that it cannot have are left out. */
static struct bridge_setup setup_of(bool is_hand, uint32_t has, bool is_automatic,
                                    uint32_t run_out_us, unsigned rails) {
    struct bridge_setup setup = is_hand ? puppet_hand_setup() : puppet_setup();
    for (size_t i = 0; i < PARTS; i++) {
        *part_of(&setup, i) = (has >> i & 1) != 0;
    }
    if (is_hand) {
        setup.has_lock_drive = setup.motion.has_position = setup.motion.has_current = false;
    }
    setup.track[0].end[0].is_automatic = setup.track[0].end[1].is_automatic = is_automatic;
    setup.track[0].run_out_us = run_out_us;
    setup.rails = rails;
    return setup;
}

static void assert_true_table(const struct bridge_setup *setup, struct tally *tally) {
    static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"main", {"west", "east"}}};
    struct guards guards;
    if (bridge_setup_fault(setup) != NULL) {
        return;
    }
    tally->setups++;
    guards_of(setup, &guards);
    for (unsigned i = 0; i < guards.rows; i++) {
        const struct guard_row *row = &guards.row[i];
        const char *broken = truth_broken(setup, row);
        tally->rows++;
        tally->hits[row->thing][row->how]++;
        if (broken != NULL) {
            struct guard_words words = {.condition = "(as before)"};
            guards_describe(&guards, i, tracks, &words);
            char has[PARTS + 1] = "";
            for (size_t part = 0; part < PARTS; part++) {
                has[part] = *part_of((struct bridge_setup *)setup, part) ? '1' : '0';
            }
            fail_msg("%s, said to be %s: %s (end %u; hand %d, automatic %d, run out %u, rails %u, "
                     "has %s)",
                     words.condition, guard_text(row->how), broken, row->end, setup->is_hand_lifted,
                     setup->track[0].end[0].is_automatic, setup->track[0].run_out_us, setup->rails,
                     has);
        }
    }
}

static const uint32_t all = (1u << PARTS) - 1;

static void bridges_with_everything_but_one_part(void **state) {
    (void)state;
    struct tally tally = {0};
    for (size_t i = 0; i <= PARTS; i++) {
        uint32_t has = i < PARTS ? all & ~(1u << i) : all;
        struct bridge_setup powered = setup_of(false, has, true, 30000000, 2);
        struct bridge_setup by_hand = setup_of(true, has, false, 0, 1);
        assert_true_table(&powered, &tally);
        assert_true_table(&by_hand, &tally);
    }
    assert_in_range(tally.setups, PARTS, 2 * PARTS + 2);
}

static uint32_t next(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u; /* a linear congruence of well-known constants */
    return *seed >> 7;
}

/* The barest, then others until so many are sound: every sort of row must have been among them. */
static void bare_bridges_and_others_by_chance(void **state) {
    (void)state;
    struct tally tally = {0};
    uint32_t seed = 2026;
    const uint32_t two_switches = 1u << OPEN; /* and the seated contact, which none is without */
    struct bridge_setup seat_alone = setup_of(true, 0, false, 0, 0);
    struct bridge_setup lifted = setup_of(false, two_switches, false, 0, 0);
    assert_true_table(&seat_alone, &tally);
    assert_true_table(&lifted, &tally);
    assert_int_equal(tally.setups, 2);
    while (tally.setups < SETUPS) {
        uint32_t has = next(&seed) & all;
        bool is_hand = next(&seed) % 3 == 0;
        bool is_automatic = next(&seed) % 2 == 0;
        uint32_t run_out_us = next(&seed) % 2 == 0 ? 30000000 : 0;
        unsigned rails = next(&seed) % 3 == 0 ? 1 : 0;
        struct bridge_setup setup = setup_of(is_hand, has, is_automatic, run_out_us, rails);
        assert_true_table(&setup, &tally);
    }
    for (unsigned thing = 0; thing < GUARD_THINGS; thing++) {
        for (unsigned how = 0; how < GUARD_SORTS; how++) {
            if (truth_is_checked(thing, how) && tally.hits[thing][how] == 0) {
                fail_msg("no bridge on which thing %u is %s", thing, guard_text(how));
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bridges_with_everything_but_one_part),
        cmocka_unit_test(bare_bridges_and_others_by_chance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

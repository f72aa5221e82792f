#include "io/simulated/world/sim_contacts.h"
#include "support/check.h"

static const struct simulation_contacts setup = {
    .seated = {0.01, 0.005},
    .nearly_seated = {0.05, 0.002},
    .nearly_open = {0.95, 0.002},
    .open = {0.99, 0.005},
    .within_travel = {1.02, 0.01},
    .rail = {0.002, 0.001},
};

static void contacts_make_at_their_place_and_break_beyond_it(void **state) {
    (void)state;
    static const struct {
        double frac;
        bool seated, open, within_travel, rail;
    } walk[] = {
        {0, true, false, true, true},       {0.0025, true, false, true, true},
        {0.0035, true, false, true, false}, {0.014, true, false, true, false},
        {0.016, false, false, true, false}, {0.012, false, false, true, false},
        {0.0099, true, false, true, false}, {0.989, false, false, true, false},
        {0.991, false, true, true, false},  {0.986, false, true, true, false},
        {0.984, false, false, true, false}, {0.988, false, false, true, false},
        {1.025, false, true, true, false},  {1.031, false, true, false, false},
        {1.025, false, true, false, false}, {1.019, false, true, true, false},
    };
    struct sim_contacts contacts = {0};
    for (size_t i = 0; i < sizeof walk / sizeof walk[0]; i++) {
        sim_contacts_follow(&setup, &contacts, walk[i].frac);
        if (contacts.seated != walk[i].seated || contacts.open != walk[i].open ||
            contacts.within_travel != walk[i].within_travel || contacts.rail != walk[i].rail) {
            fail_msg("at %g (row %zu)", walk[i].frac, i);
        }
    }
}

static void nearly_contacts_lie_before_the_ends(void **state) {
    (void)state;
    struct sim_contacts contacts = {0};
    sim_contacts_follow(&setup, &contacts, 0.04);
    assert_true(contacts.nearly_seated && !contacts.seated && !contacts.nearly_open);
    sim_contacts_follow(&setup, &contacts, 0.96);
    assert_true(contacts.nearly_open && !contacts.open && !contacts.nearly_seated);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(contacts_make_at_their_place_and_break_beyond_it),
        cmocka_unit_test(nearly_contacts_lie_before_the_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

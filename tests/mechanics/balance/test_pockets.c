#include "mechanics/balance/pockets.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static struct pockets_aim aim_in(struct example *example) {
    double base[2];
    assert_int_equal(example_in_list(example, "S_base", base, 2), 2);
    return (struct pockets_aim){
        .base_sx_kg_m = base[0],
        .base_sy_kg_m = base[1],
        .toe_x_m = example_in(example, "x_toe"),
        .toe_reaction_n = example_in(example, "toe_reaction_target"),
        .angle_rad = example_in(example, "alpha_target"),
        .reaction_within_n = 0.5,
        .angle_within_rad = 2 * degree,
    };
}

static struct pocket pocket_in(struct example *example, const char *name) {
    double xy[2];
    assert_int_equal(example_in_list(example, name, xy, 2), 2);
    return (struct pocket){.at = {xy[0], xy[1]}, .block_kg = 0.25, .blocks_max = 12};
}

static void two_pockets(struct example *example) {
    struct pockets_aim aim = aim_in(example);
    struct pocket pockets[] = {pocket_in(example, "slot1"), pocket_in(example, "slot2")};
    assert_true(example_in(example, "g") == NUMBER_GRAVITY_M_S2);
    assert_null(pockets_check(pockets, 2, &aim));
    example_out(example, "Sx_target", pockets_wanted(&aim).sx_kg_m);
    example_out(example, "Sy_target", pockets_wanted(&aim).sy_kg_m);
}

static void hold_answer(struct example *example, const struct pockets_answer *answer,
                        const char *const names[5]) {
    double blocks[3] = {answer->blocks[0], answer->blocks[1], answer->blocks[2]};
    assert_true(answer->is_proved);
    example_out_list(example, names[0], blocks, 3);
    example_out(example, names[1], answer->error_sx_kg_m);
    example_out(example, names[2], answer->error_sy_kg_m);
    example_out(example, names[3], answer->toe_reaction_n);
    example_out(example, names[4], answer->angle_rad);
}

static void whole_blocks(struct example *example) {
    static const char *const few[] = {"counts", "err_Sx", "err_Sy", "toe_reaction", "alpha"};
    static const char *const many[] = {"counts_n_max_24", "err_Sx_24", "err_Sy_24",
                                       "toe_reaction_24", "alpha_24"};
    example_in_text(example, "targets_and_base_as", "B3");
    struct pockets_aim aim = aim_in(examples_borrow("pockets", "B3"));
    struct pocket pockets[3];
    double xy[6];
    assert_int_equal(example_in_list(example, "slots_xy", xy, 6), 6);
    for (size_t i = 0; i < 3; i++) {
        pockets[i] = (struct pocket){{xy[2 * i], xy[2 * i + 1]},
                                     example_in(example, "block_mass"),
                                     (unsigned)example_in(example, "n_max")};
    }
    assert_null(pockets_check(pockets, 3, &aim));
    struct pockets_answer answer = pockets_search(pockets, 3, &aim);
    hold_answer(example, &answer, few);
    assert_false(answer.is_reached);
    pockets[0].blocks_max = pockets[1].blocks_max = pockets[2].blocks_max = 24;
    answer = pockets_search(pockets, 3, &aim);
    hold_answer(example, &answer, many);
    assert_true(answer.is_reached);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"B3", two_pockets}, {"B4", whole_blocks}};
    examples_run("pockets", tests, 2);
}

/* A little of everything, the same on every run. */
static double next(unsigned *seed) {
    *seed = *seed * 1103515245u + 12345u;
    return (double)(*seed >> 16 & 0x7fff) / 0x7fff;
}

static double error_with(const struct pocket *pockets, const struct pockets_aim *aim,
                         const unsigned *blocks) {
    struct pockets_moments wanted = pockets_wanted(aim);
    double sx = aim->base_sx_kg_m - wanted.sx_kg_m, sy = aim->base_sy_kg_m - wanted.sy_kg_m;
    for (unsigned i = 0; i < 4; i++) {
        sx += blocks[i] * pockets[i].block_kg * pockets[i].at.x_m;
        sy += blocks[i] * pockets[i].block_kg * pockets[i].at.y_m;
    }
    return sx * sx + sy * sy;
}

static void search_agrees_with_trying_everything(void **state) {
    (void)state;
    unsigned seed = 7;
    for (int round = 0; round < 60; round++) {
        struct pocket pockets[4];
        for (unsigned i = 0; i < 4; i++) {
            pockets[i] = (struct pocket){{next(&seed) - 0.8, next(&seed) - 0.5},
                                         0.1 + next(&seed),
                                         (unsigned)(next(&seed) * 5)};
        }
        struct pockets_aim aim = {
            5 * next(&seed), 4 * next(&seed) - 2, 2.4, 8 * next(&seed), next(&seed) - 0.5, 1, 1};
        assert_null(pockets_check(pockets, 4, &aim));
        double least = INFINITY;
        unsigned n[4];
        for (n[0] = 0; n[0] <= pockets[0].blocks_max; n[0]++) {
            for (n[1] = 0; n[1] <= pockets[1].blocks_max; n[1]++) {
                for (n[2] = 0; n[2] <= pockets[2].blocks_max; n[2]++) {
                    for (n[3] = 0; n[3] <= pockets[3].blocks_max; n[3]++) {
                        least = fmin(least, error_with(pockets, &aim, n));
                    }
                }
            }
        }
        struct pockets_answer answer = pockets_search(pockets, 4, &aim);
        assert_true(answer.is_proved);
        assert_true(fabs(error_with(pockets, &aim, answer.blocks) - least) < 1e-11);
        for (unsigned i = 0; i < 4; i++) {
            assert_true(answer.blocks[i] <= pockets[i].blocks_max);
        }
    }
}

/* Three heavy blocks do what nine light ones in the same place do, whichever is tried first. */
static void of_equal_answers_the_fewest_blocks_win(void **state) {
    (void)state;
    struct pocket pockets[] = {{{-0.7, 0.1}, 0.3, 10}, {{-0.7, 0.1}, 0.1, 10}};
    struct pocket turned[] = {pockets[1], pockets[0]};
    struct pockets_aim aim = {.base_sx_kg_m = 0.65, .toe_x_m = 1};
    struct pockets_answer answer = pockets_search(pockets, 2, &aim);
    struct pockets_answer again = pockets_search(turned, 2, &aim);
    assert_int_equal(answer.blocks[0], 3);
    assert_int_equal(answer.blocks[1], 0);
    assert_int_equal(again.blocks[0], 0);
    assert_int_equal(again.blocks[1], 3);
    assert_true(fabs(answer.error_sx_kg_m - (0.65 - 0.9 * 0.7)) < 1e-12);
    assert_true(fabs(answer.error_sy_kg_m - 0.9 * 0.1) < 1e-12);
}

static void out_of_reach_gives_the_nearest(void **state) {
    (void)state;
    struct pocket pockets[] = {{{-0.5, -0.3}, 0.25, 3}, {{-0.3, 0.28}, 0.25, 0}};
    struct pockets_aim aim = {40, 1, 2.4, 6, 0.5, 0.5, 0.1};
    assert_null(pockets_check(pockets, 2, &aim));
    struct pockets_answer answer = pockets_search(pockets, 2, &aim);
    assert_false(answer.is_reached);
    assert_true(answer.is_proved);
    assert_int_equal(answer.blocks[0], 3);
    assert_int_equal(answer.blocks[1], 0);
}

static void endless_search_is_cut_off_and_says_so(void **state) {
    (void)state;
    struct pocket pockets[POCKETS_MAX];
    for (unsigned i = 0; i < POCKETS_MAX; i++) {
        pockets[i] = (struct pocket){{0.1 * i - 0.43, 0.37 - 0.11 * i}, 0.013 + 0.001 * i, 1000};
    }
    struct pockets_aim aim = {4.1, 1.7, 2.4, 6, 0.5, 0.5, 0.1};
    assert_null(pockets_check(pockets, POCKETS_MAX, &aim));
    assert_false(pockets_search(pockets, POCKETS_MAX, &aim).is_proved);
}

struct case_of {
    struct pocket pocket;
    struct pockets_aim aim;
};

static const char *check(const void *what) {
    const struct case_of *c = what;
    return pockets_check(&c->pocket, 1, &c->aim);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct case_of c = {{{-0.5, 0.1}, 0.25, 12}, {4.1, 1.7, 2.4, 6, 0.5, 0.5, 0.1}};
    bad_numbers_refused(&c.pocket.at.x_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.pocket.at.y_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.pocket.block_kg, NOT_ABOVE_ZERO, check, &c);
    bad_numbers_refused(&c.aim.base_sx_kg_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.aim.base_sy_kg_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.aim.toe_x_m, NOT_ABOVE_ZERO, check, &c);
    bad_numbers_refused(&c.aim.toe_reaction_n, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.aim.angle_rad, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.aim.reaction_within_n, NEGATIVE, check, &c);
    bad_numbers_refused(&c.aim.angle_within_rad, NEGATIVE, check, &c);
    c.aim.angle_rad = NUMBER_PI / 2;
    bad_numbers_said(check(&c), "angle");
    c.aim.angle_rad = 0;
    assert_null(check(&c));
    c.pocket.blocks_max = POCKETS_BLOCKS_MAX + 1;
    bad_numbers_said(check(&c), "1000");
    c.pocket.blocks_max = 1;
    c.pocket.at = (struct point){0, 0};
    bad_numbers_said(check(&c), "away from the axis");
    bad_numbers_said(pockets_check(&c.pocket, 0, &c.aim), "1 to 8");
    bad_numbers_said(pockets_check(&c.pocket, POCKETS_MAX + 1, &c.aim), "1 to 8");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(search_agrees_with_trying_everything),
        cmocka_unit_test(of_equal_answers_the_fewest_blocks_win),
        cmocka_unit_test(out_of_reach_gives_the_nearest),
        cmocka_unit_test(endless_search_is_cut_off_and_says_so),
        cmocka_unit_test(bad_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "io/simulated/sim_news.h"
#include "support/check.h"

#include <string.h>

static void lines_come_in_order_and_the_oldest_gives_way(void **state) {
    (void)state;
    struct sim_news news = {.count = 0};
    assert_null(sim_news_take(&news));
    for (int i = 0; i < SIM_NEWS_LINES + 3; i++) {
        sim_news_add(&news, "line %d", i);
    }
    assert_string_equal(sim_news_take(&news), "line 3");
    for (int i = 1; i < SIM_NEWS_LINES; i++) {
        assert_non_null(sim_news_take(&news));
    }
    assert_null(sim_news_take(&news));
}

static void long_line_is_cut(void **state) {
    (void)state;
    struct sim_news news = {.count = 0};
    sim_news_add(&news, "%*d", 2 * SIM_NEWS_SIZE, 1);
    assert_int_equal(strlen(sim_news_take(&news)), SIM_NEWS_SIZE - 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_come_in_order_and_the_oldest_gives_way),
        cmocka_unit_test(long_line_is_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

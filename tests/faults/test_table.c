/* What the fault table must say: never a violation, never a silent hang; and that it is current. */
#include "faults/doubles.h"
#include "faults/survey.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

#ifdef __SANITIZE_ADDRESS__ /* slow: a sample of both */
enum { STRIDE = 23, DOUBLES = 60 };
#else
enum { STRIDE = 1, DOUBLES = 2000 };
#endif

static struct survey survey[FAULT_BRIDGES], debounced;

static void no_single_fault_breaks_an_invariant_or_hangs(void **state) {
    (void)state;
    for (enum fault_bridge bridge = 0; bridge < FAULT_BRIDGES; bridge++) {
        survey_run(&survey[bridge], bridge, 0, STRIDE);
        assert_int_equal(survey_check(&survey[bridge], stderr), 0);
    }
}

static void nor_does_one_with_contacts_debounced(void **state) {
    (void)state;
    survey_run(&debounced, BRIDGE_WHOLE, 50000, STRIDE);
    assert_int_equal(survey_check(&debounced, stderr), 0);
}

static uint32_t seen_of(const struct survey *of, unsigned defect) {
    uint32_t seen = 0;
    for (unsigned m = 0; m < MOMENTS; m++) {
        for (unsigned t = 0; t < TRAIN_SCENES; t++) {
            seen |= of->outcome[defect][m][t].untrue;
        }
    }
    return seen;
}

/* What the catalogue owns up to does happen: it is no excuse kept past its time. */
static void dangers_owned_up_to_are_real(void **state) {
    (void)state;
    for (enum fault_bridge bridge = 0; bridge < FAULT_BRIDGES && STRIDE == 1; bridge++) {
        unsigned count;
        const struct bridge_defect *defects = catalog_defects(bridge, &count);
        for (unsigned d = 0; d < count; d++) {
            uint32_t seen = seen_of(&survey[bridge], d);
            seen |= bridge == BRIDGE_WHOLE ? seen_of(&debounced, d) : 0;
            if (seen != defects[d].may_be_untrue) {
                fail_msg("%s: %s: %x", bridges_title(bridge), defects[d].words, seen);
            }
        }
    }
}

static char *read_all(FILE *file, size_t *size) {
    static char text[2][400000];
    static unsigned next;
    char *here = text[next++ % 2];
    rewind(file);
    *size = fread(here, 1, sizeof text[0] - 1, file);
    here[*size] = '\0';
    fclose(file);
    return here;
}

static void table_is_current(void **state) {
    (void)state;
    if (STRIDE != 1) {
        skip();
    }
    FILE *now = tmpfile();
    assert_non_null(now);
    for (enum fault_bridge bridge = 0; bridge < FAULT_BRIDGES; bridge++) {
        survey_write(&survey[bridge], now);
    }
    FILE *kept = fopen(SOURCE_DIR "/tests/faults/fault-table.md", "r");
    assert_non_null(kept);
    size_t now_size, kept_size;
    const char *now_text = read_all(now, &now_size);
    const char *kept_text = read_all(kept, &kept_size);
    if (now_size != kept_size || strcmp(now_text, kept_text) != 0) {
        fail_msg("tests/faults/fault-table.md is not current: run tools/fault-table");
    }
}

static void no_double_fault_breaks_an_invariant_or_hangs(void **state) {
    (void)state;
    FILE *told = tmpfile();
    assert_non_null(told);
    unsigned wrongs = doubles_run(DOUBLES, 1, told);
    size_t size;
    const char *text = read_all(told, &size);
    if (wrongs > 0) {
        fail_msg("%.4000s", text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_single_fault_breaks_an_invariant_or_hangs),
        cmocka_unit_test(nor_does_one_with_contacts_debounced),
        cmocka_unit_test(dangers_owned_up_to_are_real),
        cmocka_unit_test(table_is_current),
        cmocka_unit_test(no_double_fault_breaks_an_invariant_or_hangs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

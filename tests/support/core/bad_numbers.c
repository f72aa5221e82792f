#include "support/core/bad_numbers.h"

#include "support/check.h"

#include <math.h>
#include <string.h>

void bad_numbers_refused(double *field, enum bad_numbers bad, const char *(*check)(const void *),
                         const void *what) {
    static const double numbers[] = {NAN, INFINITY, -INFINITY, -1.0, 0.0};
    size_t count = bad == NOT_FINITE ? 3 : bad == NEGATIVE ? 4 : 5;
    double good = *field;
    for (size_t i = 0; i < count; i++) {
        assert_null(check(what));
        *field = numbers[i];
        if (!check(what)) {
            fail_msg("%g was let pass", numbers[i]);
        }
        *field = good;
    }
    assert_null(check(what));
}

void bad_numbers_said(const char *found, const char *words) {
    assert_non_null(found);
    if (!strstr(found, words)) {
        fail_msg("said \"%s\", not \"%s\"", found, words);
    }
}

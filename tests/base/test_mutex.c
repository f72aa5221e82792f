/* What the loop shares is kept by mutexes that inherit priority. Whether they do so is the
 * kernel's; here: what they are made with. */
#include "base/mutex.h"
#include "support/check.h"

#include <errno.h>

static int made_with;    /* the protocol of the last that was made */
static int inherits_not; /* what making one that inherits ends with; 0: done */

/* In place of libc's (tests/CMakeLists.txt). */
int __real_pthread_mutex_init(pthread_mutex_t *mutex, const pthread_mutexattr_t *attributes);
int __wrap_pthread_mutex_init(pthread_mutex_t *mutex, const pthread_mutexattr_t *attributes);

int __wrap_pthread_mutex_init(pthread_mutex_t *mutex, const pthread_mutexattr_t *attributes) {
    made_with = PTHREAD_PRIO_NONE;
    if (attributes != NULL) {
        assert_int_equal(pthread_mutexattr_getprotocol(attributes, &made_with), 0);
    }
    if (made_with == PTHREAD_PRIO_INHERIT && inherits_not != 0) {
        return inherits_not;
    }
    return __real_pthread_mutex_init(mutex, attributes);
}

static void assert_is_a_mutex(pthread_mutex_t *mutex) {
    assert_int_equal(pthread_mutex_lock(mutex), 0);
    assert_int_equal(pthread_mutex_trylock(mutex), EBUSY);
    assert_int_equal(pthread_mutex_unlock(mutex), 0);
    assert_int_equal(pthread_mutex_destroy(mutex), 0);
}

static void its_owner_inherits_the_priority_of_who_waits(void **state) {
    (void)state;
    pthread_mutex_t mutex;
    inherits_not = 0;
    assert_true(mutex_init(&mutex));
    assert_int_equal(made_with, PTHREAD_PRIO_INHERIT);
    assert_is_a_mutex(&mutex);
}

/* POSIX's answer where the system cannot: pthread_mutexattr_getprotocol(3p), from memory. */
static void it_is_plain_where_the_system_knows_no_inheritance(void **state) {
    (void)state;
    pthread_mutex_t mutex;
    inherits_not = ENOTSUP;
    assert_true(mutex_init(&mutex));
    assert_int_equal(made_with, PTHREAD_PRIO_NONE);
    assert_is_a_mutex(&mutex);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(its_owner_inherits_the_priority_of_who_waits),
        cmocka_unit_test(it_is_plain_where_the_system_knows_no_inheritance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Advice on what to measure: for places that there are, and the nearest of them. */
#include "config/reader/fields.h"
#include "config/reader/measure.h"
#include "config/tables/tables.h"
#include "support/check.h"

#include <stdio.h>
#include <string.h>

static const struct object *object_named(const char *name) {
    const struct object *object;
    for (size_t i = 0; (object = tables_object(i)) != NULL; i++) {
        if (strcmp(object->name, name) == 0) {
            return object;
        }
    }
    fail_msg("no object %s", name);
    return NULL;
}

static const struct field *field_named(const struct object *object, const char *key,
                                       size_t length) {
    for (size_t i = 0; object != NULL && i < object->fields; i++) {
        const char *name = object->field[i].key;
        if (strlen(name) == length && strncmp(name, key, length) == 0) {
            return &object->field[i];
        }
    }
    return NULL;
}

static void every_place_with_advice_is_a_key(void **state) {
    (void)state;
    const char *place;
    for (size_t i = 0; (place = measure_place(i)) != NULL; i++) {
        const struct object *object = object_named("bridge");
        for (const char *at = place; *at == '/';) {
            size_t length = strcspn(at + 1, "/");
            if (strncmp(at, "/*", length + 1) != 0) {
                const struct field *field = field_named(object, at + 1, length);
                if (field == NULL) {
                    fail_msg("there is no key for the advice at %s", place);
                }
                object = field->object;
            }
            at += 1 + length;
        }
    }
}

/* What must be known of a powered lift and has no default: all of it is somebody's to measure. */
static void required_quantities_of_lift_and_motor_have_advice(void **state) {
    (void)state;
    static const struct {
        const char *object, *place;
    } parts[] = {{"motor", "/motor/"},           {"worm", "/drive/worm/"},
                 {"gearbox", "/drive/gearbox/"}, {"pinion", "/drive/pinion/"},
                 {"supply", "/supply/"},         {"lift", "/lift/"},
                 {"trains", "/tracks/1/trains/"}};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        const struct object *object = object_named(parts[i].object);
        for (size_t f = 0; f < object->fields; f++) {
            const struct field *field = &object->field[f];
            char where[128];
            snprintf(where, sizeof where, "/bridges/3%s%s", parts[i].place, field->key);
            if (field->is_required && field->kind != FIELD_WORD && measure_for(where) == NULL) {
                fail_msg("no advice for %s", where);
            }
        }
    }
}

static void the_nearest_advice_is_taken(void **state) {
    (void)state;
    const char *object = measure_for("/bridges/0/motor");
    const char *key = measure_for("/bridges/12/motor/stall current");
    assert_non_null(strstr(object, "data sheet"));
    assert_non_null(strstr(key, "ohmmeter"));
    assert_string_equal(measure_for("/bridges/0/motor/brake"), object); /* none of its own */
    assert_string_equal(measure_for("/bridges/0/leaf/outline/3/at/0"),
                        measure_for("/bridges/0/leaf/outline"));
    assert_non_null(strstr(measure_for("/bridges/0/tracks/2/ends/1/stop length"), "the gap"));
}

static void other_places_have_none(void **state) {
    (void)state;
    static const char *const places[] = {"",
                                         "/",
                                         "/server/listeners/0/port",
                                         "/bridges",
                                         "/bridges/0",
                                         "/bridges/x/motor",
                                         "/bridges/0/motors",
                                         "/bridges/0/tracks/x/trains",
                                         "/bridges/0/warning/least",
                                         "line 3, column 7",
                                         "/motor"};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        assert_null(measure_for(places[i]));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_place_with_advice_is_a_key),
        cmocka_unit_test(required_quantities_of_lift_and_motor_have_advice),
        cmocka_unit_test(the_nearest_advice_is_taken),
        cmocka_unit_test(other_places_have_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

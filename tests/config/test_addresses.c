/* Addresses of protocol devices: every key that gives one, by the tables, so that a key added there
 * is tried as well. */
#include "config/config.h"
#include "config/tables/tables.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PLACES_MAX = 64 };

struct place {
    char where[96];
    bool is_feedback; /* FB, else GA */
};

struct places {
    struct place place[PLACES_MAX];
    size_t count;
};

/* The help of an address says of which group it is. */
static void add_addresses(struct places *places, const struct object *object, const char *at) {
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        bool is_feedback = strstr(field->help, "FB") != NULL;
        if (is_feedback || strstr(field->help, "GA") != NULL) {
            assert_true(places->count < PLACES_MAX);
            struct place *place = &places->place[places->count++];
            snprintf(place->where, sizeof place->where, "/bridges/0%s/%s", at, field->key);
            place->is_feedback = is_feedback;
        }
    }
}

static struct places all_places(void) {
    struct places places = {.count = 0};
    for (size_t i = 0; tables_object(i) != NULL; i++) {
        const struct object *object = tables_object(i);
        if (strcmp(object->name, "addresses") == 0) {
            add_addresses(&places, object, "/addresses");
        } else if (strcmp(object->name, "track") == 0) {
            add_addresses(&places, object, "/tracks/0");
        } else if (strcmp(object->name, "end") == 0) {
            add_addresses(&places, object, "/tracks/0/ends/0");
            add_addresses(&places, object, "/tracks/0/ends/1");
        }
    }
    return places;
}

static bool is_clash_told(const struct place *one, const struct place *other) {
    char *text = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
    cJSON *tree = cJSON_Parse(text);
    config_text_patch(tree, "/bridges/0/addresses", "{}");
    config_text_patch(tree, one->where, "500");
    config_text_patch(tree, other->where, "500");
    char *patched = cJSON_PrintUnformatted(tree);
    struct config *config = calloc(1, sizeof *config);
    struct config_report *report = calloc(1, sizeof *report);
    assert_non_null(config);
    assert_non_null(report);
    bool is_taken = config_read_text(patched, strlen(patched), config, report);
    bool is_told = !is_taken &&
                   (config_text_has(&report->errors, one->where, "address 500 is already taken") ||
                    config_text_has(&report->errors, other->where, "address 500 is already taken"));
    free(report);
    free(config);
    free(patched);
    cJSON_Delete(tree);
    free(text);
    return is_told;
}

static void no_two_devices_of_a_group_share_an_address(void **state) {
    (void)state;
    struct places places = all_places();
    assert_true(places.count > 10);
    for (size_t i = 0; i < places.count; i++) {
        for (size_t k = i + 1; k < places.count; k++) {
            const struct place *one = &places.place[i];
            const struct place *other = &places.place[k];
            if (one->is_feedback == other->is_feedback && !is_clash_told(one, other)) {
                fail_msg("%s and %s may share an address: daemon/config/build/build_net.c",
                         one->where, other->where);
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_two_devices_of_a_group_share_an_address),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

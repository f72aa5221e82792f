/* Every key of the configuration makes a difference: some value of it, in one of the bridges here,
 * changes what is built or what is said about it. A key that is read and dropped does neither. */
#include "config/config.h"
#include "config/tables/tables.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEYS_MAX = 1024, VALUES_MAX = 8 };

#define B "/bridges/0"

/* Between them they have all that a bridge can have; `patch` is what no example has. */
static const struct scenario {
    const char *file;
    struct {
        const char *where, *value;
    } patch[2];
} scenarios[] = {
    {"config/kettle-narrows", {{NULL, NULL}}},
    {"config/garden-gate", {{NULL, NULL}}},
    {"config/harbor-lift", {{NULL, NULL}}},
    {"config/mill-swing", {{NULL, NULL}}},
    {"config/shed-controller", {{NULL, NULL}}},
    {"config/two-switches", {{NULL, NULL}}},
    {"tests/daemon/linked-bridge", {{NULL, NULL}}},
    {"config/other-nodes", {{NULL, NULL}}},
    {"config/tender-stand", {{NULL, NULL}}},
    {"config/tender-stand",
     {{B "/stand/throttle",
       "{\"kind\": \"potentiometer\", \"device\": \"adc\", \"channel\": \"voltage0\","
       " \"full down\": \"0.3 V\", \"full up\": \"3 V\"}"},
      {B "/stand/controls/0", "{\"asks\": \"grip\", \"pin\": {\"line\": 5}}"}}},
    {"config/tender-stand",
     {{B "/stand/throttle", "{\"kind\": \"encoder\", \"device\": \"handset\"}"},
      {B "/stand/controls/0", "{\"asks\": \"grip\", \"pin\": {\"line\": 5}}"}}},
    {"config/kettle-narrows",
     {{"/lcc", "{\"connect\": [{\"address\": \"::1\"}]}"},
      {B "/lcc", "{\"node\": \"0A.44.52.00.00.01\"}"}}},
    {"config/kettle-narrows",
     {{B "/lift", "{\"kind\": \"rolling\", \"travel\": \"75 deg\", \"radius\": \"40 cm\"}"}}},
    {"config/kettle-narrows",
     {{B "/leaf/slides", "[{\"what\": \"a bar\", \"mass\": \"1 kg\","
                         " \"from\": [\"-90 cm\", \"0 m\"], \"to\": [\"-50 cm\", \"0 m\"]}]"},
      {B "/leaf/girders", "{\"width\": \"20 mm\", \"height\": \"80 mm\"}"}}},
    {"config/shed-controller",
     {{B "/wired/power stage",
       "{\"kind\": \"serial\", \"serial\": {\"device\": \"/dev/ttyS0\", "
       "\"drive\": \"{direction}{size}\", \"stop\": \"S\", \"reply\": \"OK\"}}"},
      {B "/wired/position", "{\"kind\": \"encoder\", \"counts\": 1000,"
                            " \"a\": {\"line\": 14, \"active\": \"high\"}}"}}},
};

/* Words beside a thing, for whoever reads the file. */
static const char *const for_people[][2] = {{"mass", "what"}};

static struct {
    cJSON *tree;
    struct config config, before;
    struct config_report report, said_before;
    const struct field *used[KEYS_MAX];
    size_t used_count;
} walk;

static bool is_used(const struct field *field) {
    for (size_t i = 0; i < walk.used_count; i++) {
        if (walk.used[i] == field) {
            return true;
        }
    }
    return false;
}

/* In which units it is written is a matter of the value, not of its use. */
static void read_tree(struct config *config, struct config_report *report) {
    char *text = cJSON_PrintUnformatted(walk.tree);
    memset(report, 0, sizeof *report);
    config_read_text(text, strlen(text), config, report);
    memset(&config->units, 0, sizeof config->units);
    cJSON_free(text);
}

static bool is_same_list(const struct config_list *a, const struct config_list *b) {
    bool is_same = a->count == b->count;
    for (size_t i = 0; is_same && i < config_list_kept(a); i++) {
        is_same = strcmp(a->complaint[i].where, b->complaint[i].where) == 0 &&
                  strcmp(a->complaint[i].what, b->complaint[i].what) == 0;
    }
    return is_same;
}

static bool makes_a_difference(void) {
    read_tree(&walk.config, &walk.report);
    return memcmp(&walk.config, &walk.before, sizeof walk.config) != 0 ||
           !is_same_list(&walk.report.errors, &walk.said_before.errors) ||
           !is_same_list(&walk.report.warnings, &walk.said_before.warnings);
}

/* Values that the reader takes for the key, by its row; NULL after the last. */
static void values_of(const struct field *field, cJSON *values[VALUES_MAX]) {
    static const char *const lengths[] = {"1 mm", "90 mm"};
    size_t count = 0;
    switch (field->kind) {
    case FIELD_TEXT:
        values[count++] = cJSON_CreateString("x");
        values[count++] = cJSON_CreateString("xy");
        break;
    case FIELD_WORD:
        while (count + 1 < VALUES_MAX && field->words[count] != NULL) {
            values[count] = cJSON_CreateString(field->words[count]);
            count++;
        }
        break;
    case FIELD_FLAG:
        values[count++] = cJSON_CreateTrue();
        values[count++] = cJSON_CreateFalse();
        break;
    case FIELD_COUNT:
        values[count++] = cJSON_CreateNumber(atof(field->least));
        values[count++] = cJSON_CreateNumber(atof(field->least) + 1);
        break;
    case FIELD_QUANTITY:
        values[count++] = cJSON_CreateString(field->least);
        values[count++] = cJSON_CreateString(field->most);
        break;
    case FIELD_EITHER:
        values[count++] = cJSON_CreateString(quantity_example(field->quantity));
        values[count++] = cJSON_CreateString(quantity_example(field->or_quantity));
        break;
    case FIELD_PLACE:
        values[count++] = cJSON_CreateStringArray(lengths, 2);
        values[count++] = cJSON_Parse("[\"2 mm\", \"91 mm\"]");
        break;
    case FIELD_OBJECT:
    case FIELD_LIST:
        break; /* used by its keys */
    }
    values[count] = NULL;
}

/* Two values, or a value and none, that lead to different outcomes. */
static void try_key(const struct field *field, cJSON *object) {
    cJSON *values[VALUES_MAX];
    values_of(field, values);
    cJSON *own = cJSON_DetachItemFromObjectCaseSensitive(object, field->key);
    read_tree(&walk.before, &walk.said_before);
    for (size_t i = 0; values[i] != NULL; i++) {
        cJSON_AddItemToObject(object, field->key, values[i]);
        if (!is_used(field) && makes_a_difference()) {
            assert_true(walk.used_count < KEYS_MAX);
            walk.used[walk.used_count++] = field;
        }
        cJSON_DetachItemViaPointer(object, values[i]);
        cJSON_Delete(values[i]);
    }
    if (own != NULL) {
        cJSON_AddItemToObject(object, field->key, own);
    }
}

static void try_object(const struct object *object, cJSON *json);

/* An object of its required keys, or of all, each with the first of its values. */
static cJSON *sample_of(const struct object *object, bool is_whole) {
    cJSON *sample = cJSON_CreateObject();
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        cJSON *values[VALUES_MAX];
        values_of(field, values);
        for (size_t k = 0; values[k] != NULL; k++) {
            if (k == 0 && (is_whole || field->is_required)) {
                cJSON_AddItemToObject(sample, field->key, values[k]);
            } else {
                cJSON_Delete(values[k]);
            }
        }
        if (field->kind == FIELD_OBJECT && field->is_required) {
            cJSON_AddItemToObject(sample, field->key, sample_of(field->object, is_whole));
        }
    }
    return sample;
}

/* Where this bridge does not have the member, it is given one for as long. */
static void try_made(const struct field *field, cJSON *object, bool is_whole) {
    cJSON *sample = sample_of(field->object, is_whole);
    cJSON *made = sample;
    if (field->kind == FIELD_LIST) {
        made = cJSON_CreateArray();
        cJSON_AddItemToArray(made, sample);
    }
    cJSON_AddItemToObject(object, field->key, made);
    try_object(field->object, sample);
    cJSON_Delete(cJSON_DetachItemViaPointer(object, made));
}

static void try_member(const struct field *field, cJSON *object) {
    cJSON *own = cJSON_GetObjectItemCaseSensitive(object, field->key);
    if (own == NULL) {
        try_made(field, object, false);
        try_made(field, object, true);
    } else if (field->kind == FIELD_OBJECT) {
        try_object(field->object, own);
    } else {
        cJSON *item;
        cJSON_ArrayForEach(item, own) {
            try_object(field->object, item);
        }
    }
}

static void try_object(const struct object *object, cJSON *json) {
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        if (field->object != NULL) {
            try_member(field, json);
        } else if (!is_used(field)) {
            try_key(field, json);
        }
    }
}

static void try_scenario(const struct scenario *scenario) {
    char path[256];
    snprintf(path, sizeof path, SOURCE_DIR "/%s.json", scenario->file);
    char *text = config_text_of_file(path);
    walk.tree = cJSON_Parse(text);
    assert_non_null(walk.tree);
    for (size_t i = 0; i < 2 && scenario->patch[i].where != NULL; i++) {
        config_text_patch(walk.tree, scenario->patch[i].where, scenario->patch[i].value);
    }
    try_object(&tables_config, walk.tree);
    cJSON_Delete(walk.tree);
    free(text);
}

static bool is_for_people(const struct object *object, const struct field *field) {
    for (size_t i = 0; i < sizeof for_people / sizeof for_people[0]; i++) {
        if (strcmp(object->name, for_people[i][0]) == 0 &&
            strcmp(field->key, for_people[i][1]) == 0) {
            return true;
        }
    }
    return false;
}

static void every_key_makes_a_difference(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof scenarios / sizeof scenarios[0]; i++) {
        try_scenario(&scenarios[i]);
    }
    size_t dropped = 0;
    const struct object *object;
    for (size_t i = 0; (object = tables_object(i)) != NULL; i++) {
        for (size_t k = 0; k < object->fields; k++) {
            const struct field *field = &object->field[k];
            if (field->object == NULL && !is_used(field) && !is_for_people(object, field)) {
                print_error("\"%s\" of \"%s\" makes no difference here: use it in "
                            "daemon/config/build/, or add a scenario that has it\n",
                            field->key, object->name);
                dropped++;
            }
        }
    }
    assert_true(walk.used_count > 250);
    assert_int_equal(dropped, 0);
}

/* Where the help of a "kind" tells one of its words, it tells all. */
static void every_kind_is_told_in_its_help(void **state) {
    (void)state;
    const struct object *object;
    unsigned kinds = 0;
    for (size_t i = 0; (object = tables_object(i)) != NULL; i++) {
        for (size_t k = 0; k < object->fields; k++) {
            const struct field *field = &object->field[k];
            bool is_list = strcmp(field->key, "kind") == 0 && strchr(field->help, '"') != NULL;
            for (size_t w = 0; is_list && field->words[w] != NULL; w++) {
                char quoted[64];
                snprintf(quoted, sizeof quoted, "\"%s\"", field->words[w]);
                if (strstr(field->help, quoted) == NULL) {
                    fail_msg("the help of \"kind\" of \"%s\" lacks %s: "
                             "daemon/config/tables/tables.c",
                             object->name, quoted);
                }
                kinds++;
            }
        }
    }
    assert_true(kinds > 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_makes_a_difference),
        cmocka_unit_test(every_kind_is_told_in_its_help),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The schema and the manual against the reader: by the file, not by the tables both are made from.
 */
#include "config/config.h"
#include "config/manual/manual.h"
#include "config/manual/schema.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <regex.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char schema_file[] = SOURCE_DIR "/config/drawtender.schema.json";

/* The file, or what follows `mark` in it, must be `generated`. What it should be is left in the
 * build folder, to be copied. */
static void assert_current(const char *path, const char *mark, const char *generated,
                           const char *name) {
    char made[512];
    snprintf(made, sizeof made, BINARY_DIR "/%s", name);
    FILE *file = fopen(made, "w");
    assert_non_null(file);
    fputs(generated, file);
    fclose(file);
    char *text = config_text_of_file(path);
    const char *part = strstr(text, mark);
    bool is_current = part != NULL && strcmp(part, generated) == 0;
    free(text);
    if (!is_current) {
        fail_msg("%s is not current: see %s", path, made);
    }
}

static void schema_file_is_current(void **state) {
    (void)state;
    char *generated = schema_text();
    assert_non_null(generated);
    assert_current(schema_file, "{", generated, "drawtender.schema.json");
    free(generated);
}

static void manual_is_current(void **state) {
    (void)state;
    char *generated = manual_text();
    assert_non_null(generated);
    assert_current(SOURCE_DIR "/config/README.md", "## Quantities\n", generated, "keys.md");
    free(generated);
}

/* --- a walk through the schema file --- */

struct walk {
    cJSON *schema;
    struct config *config;
    struct config_report *report;
    cJSON *sample; /* a configuration with every key there is */
    unsigned keys;
};

static const cJSON *get(const cJSON *object, const char *key) {
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static const cJSON *resolve(const struct walk *walk, const cJSON *node) {
    static const char start[] = "#/$defs/";
    const cJSON *reference = get(node, "$ref");
    if (reference == NULL) {
        return node;
    }
    assert_int_equal(strncmp(reference->valuestring, start, strlen(start)), 0);
    const cJSON *target = get(get(walk->schema, "$defs"), reference->valuestring + strlen(start));
    assert_non_null(target);
    return target;
}

static cJSON *sample_of(const struct walk *walk, const cJSON *node);

static cJSON *sample_object(const struct walk *walk, const cJSON *node) {
    cJSON *object = cJSON_CreateObject();
    const cJSON *property;
    assert_true(cJSON_IsFalse(get(node, "additionalProperties")));
    cJSON_ArrayForEach(property, get(node, "properties")) {
        cJSON_AddItemToObject(object, property->string, sample_of(walk, property));
    }
    return object;
}

static cJSON *sample_array(const struct walk *walk, const cJSON *node) {
    cJSON *array = cJSON_CreateArray();
    double least = get(node, "minItems")->valuedouble;
    for (unsigned i = 0; i < (least > 0 ? least : 1); i++) {
        cJSON_AddItemToArray(array, sample_of(walk, get(node, "items")));
    }
    return array;
}

/* Any value that the schema takes for this node. */
static cJSON *sample_of(const struct walk *walk, const cJSON *node) {
    if (get(node, "default") != NULL) {
        return cJSON_Duplicate(get(node, "default"), true);
    }
    node = resolve(walk, node);
    if (get(node, "enum") != NULL) {
        return cJSON_Duplicate(get(node, "enum")->child, true);
    }
    if (get(node, "examples") != NULL) {
        return cJSON_Duplicate(get(node, "examples")->child, true);
    }
    if (get(node, "anyOf") != NULL) {
        return sample_of(walk, get(node, "anyOf")->child);
    }
    const char *type = get(node, "type")->valuestring;
    if (strcmp(type, "object") == 0) {
        return sample_object(walk, node);
    }
    if (strcmp(type, "array") == 0) {
        return sample_array(walk, node);
    }
    if (strcmp(type, "integer") == 0) {
        return cJSON_CreateNumber(get(node, "minimum")->valuedouble);
    }
    if (strcmp(type, "boolean") == 0) {
        return cJSON_CreateTrue();
    }
    assert_string_equal(type, "string");
    return cJSON_CreateString("x");
}

static void read_sample(const struct walk *walk) {
    char *text = cJSON_PrintUnformatted(walk->sample);
    config_read_text(text, strlen(text), walk->config, walk->report);
    cJSON_free(text);
}

static void expect(const struct walk *walk, const char *where, const char *words) {
    read_sample(walk);
    if (!config_text_has(&walk->report->errors, where, words)) {
        config_text_print(&walk->report->errors);
        fail_msg("no \"%s\" at %s", words, where);
    }
}

/* The reader knows the key and can read its value; whether it is a sensible one is another matter.
 */
static void expect_known(const struct walk *walk, const char *where) {
    static const char *const words[] = {"has no key", "missing", "found", "unit", "is not"};
    read_sample(walk);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (config_text_has(&walk->report->errors, where, words[i])) {
            config_text_print(&walk->report->errors);
            fail_msg("the reader does not take what the schema has at %s", where);
        }
    }
}

static void check_key(struct walk *walk, cJSON *object, const char *key, const char *where,
                      bool is_required) {
    cJSON *value = cJSON_DetachItemFromObjectCaseSensitive(object, key);
    if (is_required) {
        expect(walk, where, "missing");
    }
    cJSON_AddNullToObject(object, key);
    expect(walk, where, "found null, wanted");
    cJSON_ReplaceItemInObjectCaseSensitive(object, key, value);
    expect_known(walk, where);
    cJSON_AddItemReferenceToObject(object, key, value);
    expect(walk, where, "given twice");
    cJSON_DeleteItemFromArray(object, cJSON_GetArraySize(object) - 1);
    walk->keys++;
}

static bool is_in(const cJSON *list, const char *word) {
    const cJSON *item;
    cJSON_ArrayForEach(item, list) {
        if (strcmp(item->valuestring, word) == 0) {
            return true;
        }
    }
    return false;
}

static void check_value(struct walk *walk, const cJSON *node, cJSON *value, const char *where);

static void check_object(struct walk *walk, const cJSON *node, cJSON *object, const char *where) {
    char place[256];
    snprintf(place, sizeof place, "%s/no such key", where);
    cJSON_AddTrueToObject(object, "no such key");
    expect(walk, place, "has no key");
    cJSON_DeleteItemFromObject(object, "no such key");
    const cJSON *property;
    cJSON_ArrayForEach(property, get(node, "properties")) {
        snprintf(place, sizeof place, "%s/%s", where, property->string);
        check_key(walk, object, property->string, place,
                  is_in(get(node, "required"), property->string));
        check_value(walk, property, cJSON_GetObjectItemCaseSensitive(object, property->string),
                    place);
    }
}

static void check_value(struct walk *walk, const cJSON *node, cJSON *value, const char *where) {
    char place[256];
    node = resolve(walk, node);
    if (cJSON_IsObject(value)) {
        check_object(walk, node, value, where);
    } else if (cJSON_IsArray(value) && cJSON_IsObject(value->child)) {
        snprintf(place, sizeof place, "%s/0", where);
        check_value(walk, get(node, "items"), value->child, place);
    }
}

static void reader_takes_what_the_schema_has_and_nothing_else(void **state) {
    (void)state;
    char *text = config_text_of_file(schema_file);
    struct walk walk = {.schema = cJSON_Parse(text),
                        .config = malloc(sizeof *walk.config),
                        .report = malloc(sizeof *walk.report)};
    assert_non_null(walk.schema);
    walk.sample = sample_of(&walk, walk.schema);
    check_value(&walk, walk.schema, walk.sample, "");
    assert_true(walk.keys > 150);
    cJSON_Delete(walk.sample);
    cJSON_Delete(walk.schema);
    free(walk.config);
    free(walk.report);
    free(text);
}

/* --- patterns --- */

static const struct {
    const char *definition;
    const char *text;
    bool is_taken;
} texts[] = {
    {"angle", "75 deg", true},
    {"angle", "75°", true},
    {"angle", "75", false},
    {"angle", "75 degrees", false},
    {"length", "7 ft 5 1/4 in", true},
    {"length", "1/2 in", true},
    {"length", "-450 mm", true},
    {"length", "1e3 mm", true},
    {"length", "nan m", false},
    {"length", "0x1 m", false},
    {"length", "3 kg", false},
    {"length", "", false},
    {"mass", "68 lb 8 oz", true},
    {"mass", "31 kg +- 2 kg", true},
    {"mass", "31 kg ± 5 %", true},
    {"mass", "31 kg +- 5", false},
    {"ratio", "0.06 +- 0.02", true},
    {"tooth-size", "32 DP +- 1 DP", false},
    {"ratio", "25:1", true},
    {"ratio", "8 %", true},
    {"ratio", "0.5", true},
    {"ratio", "a half", false},
    {"torque", "39.5 oz in", true},
    {"torque", "0.28 N.m", true},
    {"torque", "0.28 N,m", false},
    {"tooth-size", "32 DP", true},
    {"speed-of-turning", "16800 rpm", true},
    {"amount-of-memory", "256 KiB", true},
};

static const char *pattern_of(const cJSON *schema, const char *definition) {
    char name[64];
    snprintf(name, sizeof name, "quantity-%s", definition);
    const cJSON *node = get(get(schema, "$defs"), name);
    const cJSON *forms = get(node, "anyOf");
    assert_non_null(node);
    return get(forms != NULL ? forms->child->next : node, "pattern")->valuestring;
}

static void patterns_take_quantities_and_refuse_the_rest(void **state) {
    (void)state;
    char *text = config_text_of_file(schema_file);
    cJSON *schema = cJSON_Parse(text);
    assert_non_null(schema);
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        regex_t pattern;
        assert_int_equal(
            regcomp(&pattern, pattern_of(schema, texts[i].definition), REG_EXTENDED | REG_NOSUB),
            0);
        bool is_taken = regexec(&pattern, texts[i].text, 0, NULL, 0) == 0;
        regfree(&pattern);
        if (is_taken != texts[i].is_taken) {
            fail_msg("%s \"%s\"", texts[i].definition, texts[i].text);
        }
    }
    cJSON_Delete(schema);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(schema_file_is_current),
        cmocka_unit_test(manual_is_current),
        cmocka_unit_test(reader_takes_what_the_schema_has_and_nothing_else),
        cmocka_unit_test(patterns_take_quantities_and_refuse_the_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "config/manual/schema.h"

#include "config/tables/tables.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A number as quantity_read() takes it, and its units: characters that mean something in a regular
 * expression do not occur in units but for the full stop. Both POSIX and ECMA read it. */
#define NUMBER "([0-9]+([.][0-9]*)?|[.][0-9]+)([eE][-+]?[0-9]+)?"
#define FRACTION "([0-9]+ +)?[0-9]+/[0-9]+"

static void append(char *text, size_t size, const char *more) {
    size_t length = strlen(text);
    snprintf(text + length, size - length, "%s", more);
}

static void append_unit(char *text, size_t size, const char *unit) {
    for (; *unit != '\0'; unit++) {
        char piece[4] = {unit[0] == '.' ? '[' : unit[0], '\0'};
        append(text, size, piece[0] == '[' ? "[.]" : piece);
    }
}

/* "^ *(0|[-+]?NUMBER *(deg|rad)( +NUMBER *(deg|rad))* *(([+]-|±) *...)?) *$"; a ratio may also be
 * "25:1".
 */
static void quantity_pattern(enum quantity quantity, char *pattern, size_t size) {
    char part[512] = "(" FRACTION "|" NUMBER;
    append(part, sizeof part, quantity == QUANTITY_RATIO ? "(:" NUMBER ")?) *(" : ") *(");
    for (size_t i = 0; quantity_unit(quantity, i) != NULL; i++) {
        append(part, sizeof part, i == 0 ? "" : "|");
        append_unit(part, sizeof part, quantity_unit(quantity, i));
    }
    append(part, sizeof part, ")");
    bool is_counted = quantity == QUANTITY_TOOTH_SIZE || quantity == QUANTITY_MEMORY;
    bool has_nought = quantity != QUANTITY_TOOTH_SIZE && quantity != QUANTITY_TEMPERATURE;
    snprintf(pattern, size, "^ *(%s[-+]?%s( +%s)* *", has_nought ? "0|" : "", part, part);
    if (!is_counted) {
        append(pattern, size, "(([+]-|±) *(");
        append(pattern, size, part);
        append(pattern, size, "|" NUMBER " *%) *)?");
    }
    append(pattern, size, ") *$");
}

static cJSON *add_object(cJSON *parent, const char *key) {
    return cJSON_AddObjectToObject(parent, key);
}

/* The name of a definition: without spaces, as it stands in references. */
struct definition_name {
    char text[64];
};

static struct definition_name definition_name(const char *name) {
    struct definition_name hyphened;
    snprintf(hyphened.text, sizeof hyphened.text, "%s", name);
    for (char *c = hyphened.text; *c != '\0'; c++) {
        *c = *c == ' ' ? '-' : *c;
    }
    return hyphened;
}

/* "an angle" -> "quantity-angle": apart from the objects, one of which is a mass, too. */
static struct definition_name quantity_definition(enum quantity quantity) {
    char name[64];
    snprintf(name, sizeof name, "quantity %s", strchr(quantity_name(quantity), ' ') + 1);
    return definition_name(name);
}

static void add_quantity(cJSON *definitions, enum quantity quantity) {
    char pattern[2400];
    cJSON *definition = add_object(definitions, quantity_definition(quantity).text);
    cJSON *form = definition;
    if (quantity == QUANTITY_RATIO) { /* the one that may also be a bare number */
        cJSON *forms = cJSON_AddArrayToObject(definition, "anyOf");
        cJSON *number = cJSON_CreateObject();
        cJSON_AddStringToObject(number, "type", "number");
        cJSON_AddItemToArray(forms, number);
        form = cJSON_CreateObject();
        cJSON_AddItemToArray(forms, form);
    }
    quantity_pattern(quantity, pattern, sizeof pattern);
    cJSON_AddStringToObject(form, "type", "string");
    cJSON_AddStringToObject(form, "pattern", pattern);
    cJSON *examples = cJSON_AddArrayToObject(definition, "examples");
    cJSON_AddItemToArray(examples, cJSON_CreateString(quantity_example(quantity)));
}

static void add_reference(cJSON *property, const char *name) {
    char reference[80];
    snprintf(reference, sizeof reference, "#/$defs/%s", definition_name(name).text);
    cJSON_AddStringToObject(property, "$ref", reference);
}

static void add_either(cJSON *property, const struct field *field) {
    cJSON *forms = cJSON_AddArrayToObject(property, "anyOf");
    const enum quantity both[] = {field->quantity, field->or_quantity};
    for (size_t i = 0; i < 2; i++) {
        cJSON *form = cJSON_CreateObject();
        add_reference(form, quantity_definition(both[i]).text);
        cJSON_AddItemToArray(forms, form);
    }
}

static void add_list_form(cJSON *property, double least, double most) {
    cJSON_AddStringToObject(property, "type", "array");
    cJSON_AddNumberToObject(property, "minItems", least);
    cJSON_AddNumberToObject(property, "maxItems", most);
}

static void add_form(cJSON *property, const struct field *field) {
    switch (field->kind) {
    case FIELD_TEXT:
        cJSON_AddStringToObject(property, "type", "string");
        cJSON_AddNumberToObject(property, "minLength", 1);
        cJSON_AddNumberToObject(property, "maxLength", (double)field->size - 1);
        return;
    case FIELD_WORD: {
        cJSON *words = cJSON_AddArrayToObject(property, "enum");
        for (size_t i = 0; field->words[i] != NULL; i++) {
            cJSON_AddItemToArray(words, cJSON_CreateString(field->words[i]));
        }
        return;
    }
    case FIELD_FLAG:
        cJSON_AddStringToObject(property, "type", "boolean");
        return;
    case FIELD_COUNT:
        cJSON_AddStringToObject(property, "type", "integer");
        cJSON_AddNumberToObject(property, "minimum", strtod(field->least, NULL));
        cJSON_AddNumberToObject(property, "maximum", strtod(field->most, NULL));
        return;
    case FIELD_QUANTITY:
        add_reference(property, quantity_definition(field->quantity).text);
        return;
    case FIELD_EITHER:
        add_either(property, field);
        return;
    case FIELD_PLACE:
        add_list_form(property, 2, 2);
        add_reference(add_object(property, "items"), quantity_definition(QUANTITY_LENGTH).text);
        return;
    case FIELD_OBJECT:
        add_reference(property, field->object->name);
        return;
    case FIELD_LIST:
        add_list_form(property, (double)field->elements_least, (double)field->elements_most);
        add_reference(add_object(property, "items"), field->object->name);
        return;
    }
}

static void add_description(cJSON *property, const struct field *field) {
    char text[512];
    bool has_range = field->kind == FIELD_QUANTITY || field->kind == FIELD_PLACE;
    snprintf(text, sizeof text, "%s%s%s%s%s%s%s", field->help,
             has_range && field->least != NULL ? "; at least " : "",
             has_range && field->least != NULL ? field->least : "",
             has_range && field->most != NULL ? "; at most " : "",
             has_range && field->most != NULL ? field->most : "",
             field->fallback_in_words != NULL ? "; default: " : "",
             field->fallback_in_words != NULL ? field->fallback_in_words : "");
    cJSON_AddStringToObject(property, "description", text);
}

static void add_default(cJSON *property, const struct field *field) {
    if (field->fallback == NULL) {
        return;
    }
    if (field->kind == FIELD_FLAG) {
        cJSON_AddBoolToObject(property, "default", strcmp(field->fallback, "true") == 0);
    } else if (field->kind == FIELD_COUNT) {
        cJSON_AddNumberToObject(property, "default", strtod(field->fallback, NULL));
    } else {
        cJSON_AddStringToObject(property, "default", field->fallback);
    }
}

static void fill_object(cJSON *definition, const struct object *object) {
    cJSON_AddStringToObject(definition, "description", object->help);
    cJSON_AddStringToObject(definition, "type", "object");
    cJSON_AddBoolToObject(definition, "additionalProperties", false);
    cJSON *required = cJSON_AddArrayToObject(definition, "required");
    cJSON *properties = add_object(definition, "properties");
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        cJSON *property = add_object(properties, field->key);
        add_description(property, field);
        add_form(property, field);
        add_default(property, field);
        if (field->is_required) {
            cJSON_AddItemToArray(required, cJSON_CreateString(field->key));
        }
    }
}

static void add_definitions(cJSON *schema) {
    cJSON *definitions = add_object(schema, "$defs");
    for (size_t i = 1; tables_object(i) != NULL; i++) { /* 0 is the root */
        const struct object *object = tables_object(i);
        fill_object(add_object(definitions, definition_name(object->name).text), object);
    }
    for (int q = 0; q < QUANTITIES; q++) {
        add_quantity(definitions, (enum quantity)q);
    }
}

char *schema_text(void) {
    cJSON *schema = cJSON_CreateObject();
    cJSON_AddStringToObject(schema, "$schema", "https://json-schema.org/draft/2020-12/schema");
    cJSON_AddStringToObject(schema, "title", "Configuration of drawtenderd");
    fill_object(schema, &tables_config);
    add_definitions(schema);
    char *printed = cJSON_Print(schema);
    cJSON_Delete(schema);
    size_t size = printed == NULL ? 0 : strlen(printed) + 2;
    char *text = malloc(size + 1);
    if (text != NULL && printed != NULL) {
        snprintf(text, size, "%s\n", printed);
    } else {
        free(text);
        text = NULL;
    }
    cJSON_free(printed);
    return text;
}

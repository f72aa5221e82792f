#include "config/manual/manual.h"

#include "config/tables/tables.h"

#include <stdio.h>
#include <stdlib.h>

void manual_print_units(FILE *out, enum quantity quantity) {
    fprintf(out, "%s:", quantity_name(quantity));
    for (size_t i = 0; quantity_unit(quantity, i) != NULL; i++) {
        const char *unit = quantity_unit(quantity, i);
        fprintf(out, "%s %s", i == 0 ? "" : ",", unit[0] == '\0' ? "a bare number" : unit);
    }
}

static void print_range(FILE *out, const struct field *field) {
    if (field->least != NULL && field->most != NULL) {
        fprintf(out, ", %s to %s", field->least, field->most);
    }
}

/* A heading's anchor has hyphens for its spaces. */
static void print_link(FILE *out, const struct object *object) {
    fprintf(out, "[%s](#", object->name);
    for (const char *c = object->name; *c != '\0'; c++) {
        fputc(*c == ' ' ? '-' : *c, out);
    }
    fputc(')', out);
}

static void print_name(FILE *out, const struct object *object, bool has_links) {
    if (has_links) {
        print_link(out, object);
    } else {
        fputs(object->name, out);
    }
}

void manual_print_form(FILE *out, const struct field *field, bool has_links) {
    switch (field->kind) {
    case FIELD_TEXT:
        fprintf(out, "text, at most %lu bytes", (unsigned long)field->size - 1);
        return;
    case FIELD_WORD:
        for (size_t i = 0; field->words[i] != NULL; i++) {
            fprintf(out, "%s\"%s\"", i == 0 ? "" : ", ", field->words[i]);
        }
        return;
    case FIELD_FLAG:
        fputs("true or false", out);
        return;
    case FIELD_COUNT:
        fprintf(out, "whole number, %s to %s", field->least, field->most);
        return;
    case FIELD_QUANTITY:
        fputs(quantity_name(field->quantity), out);
        print_range(out, field);
        return;
    case FIELD_EITHER:
        fprintf(out, "%s or %s", quantity_name(field->quantity), quantity_name(field->or_quantity));
        return;
    case FIELD_PLACE:
        fputs("two lengths", out);
        print_range(out, field);
        return;
    case FIELD_OBJECT:
        print_name(out, field->object, has_links);
        return;
    case FIELD_LIST:
        fprintf(out, "%lu to %lu of ", (unsigned long)field->elements_least,
                (unsigned long)field->elements_most);
        print_name(out, field->object, has_links);
        return;
    }
}

const char *manual_default(const struct field *field) {
    return field->is_required                 ? "required"
           : field->fallback != NULL          ? field->fallback
           : field->fallback_in_words != NULL ? field->fallback_in_words
                                              : "none";
}

static void print_object(FILE *out, const struct object *object) {
    fprintf(out,
            "\n### %s\n\n%s.\n\n| key | value | default | meaning |\n| --- | --- | --- | --- |\n",
            object->name, object->help);
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        fprintf(out, "| `%s` | ", field->key);
        manual_print_form(out, field, true);
        fprintf(out, field->is_required ? " | **%s**" : " | %s", manual_default(field));
        fprintf(out, " | %s |\n", field->help);
    }
}

char *manual_text(void) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    if (out == NULL) {
        return NULL;
    }
    fputs("## Quantities\n\n", out);
    for (int q = 0; q < QUANTITIES; q++) {
        fputs("- ", out);
        manual_print_units(out, (enum quantity)q);
        fprintf(out, "; such as `\"%s\"`\n", quantity_example((enum quantity)q));
    }
    fputs("\nEach may state its uncertainty, `\"31 kg +- 2 kg\"` or `\"3.2 N m +- 20 %\"` (`±` "
          "too): half of a range\nthat contains the value in 95 of 100 cases. `drawtender reckon` "
          "carries it through; the daemon uses the value alone.\n",
          out);
    fputs("\n## Objects\n", out);
    for (size_t i = 0; tables_object(i) != NULL; i++) {
        print_object(out, tables_object(i));
    }
    if (fclose(out) != 0) {
        free(text);
        return NULL;
    }
    return text;
}

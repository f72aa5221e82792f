/* drawtender.json(5). */
#include "config/manual/manual.h"
#include "config/tables/tables.h"
#include "tools/manual/pages.h"
#include "tools/manual/roff.h"

#include <stdlib.h>
#include <string.h>

/* Prints by `print`, through memory, as text of the page. */
static void print_through(FILE *out, void (*print)(FILE *into, const void *what),
                          const void *what) {
    char *text = NULL;
    size_t size = 0;
    FILE *into = open_memstream(&text, &size);
    if (into == NULL) {
        abort(); /* a page made with a gap would be worse than none */
    }
    print(into, what);
    if (fclose(into) != 0) {
        abort();
    }
    roff_text(out, text);
    free(text);
}

static void print_field(FILE *into, const void *what) {
    const struct field *field = what;
    fprintf(into, "%s. Value: ", field->help);
    manual_print_form(into, field, false);
    fprintf(into, field->is_required ? "; %s." : "; without it: %s.", manual_default(field));
}

static void print_object(const struct object *object, FILE *out) {
    char text[512];
    roff_subsection(out, object->name);
    snprintf(text, sizeof text, "%s.", object->help);
    roff_text(out, text);
    for (size_t i = 0; i < object->fields; i++) {
        char key[128];
        snprintf(key, sizeof key, "%s", object->field[i].key);
        roff_item(out, key);
        print_through(out, print_field, &object->field[i]);
    }
}

static void print_quantity(FILE *into, const void *what) {
    const enum quantity *quantity = what;
    for (size_t i = 0; quantity_unit(*quantity, i) != NULL; i++) {
        const char *unit = quantity_unit(*quantity, i);
        fprintf(into, "%s%s", i == 0 ? "" : ", ", unit[0] == '\0' ? "a bare number" : unit);
    }
    fprintf(into, "; such as `\"%s\"`.", quantity_example(*quantity));
}

static void print_quantities(FILE *out) {
    roff_section(out, "QUANTITIES");
    roff_text(out, "Quantities are texts with a unit. A bare number where a unit is needed is a "
                   "mistake, so that no millimetre becomes a metre.");
    for (int q = 0; q < QUANTITIES; q++) {
        const enum quantity quantity = (enum quantity)q;
        roff_item(out, quantity_name(quantity));
        print_through(out, print_quantity, &quantity);
    }
}

void page_config(FILE *out) {
    roff_section(out, "DESCRIPTION");
    roff_text(out, "drawtenderd reads one JSON file. The whole file is checked before anything "
                   "else happens: every mistake is reported in one run, each with its place as a "
                   "JSON Pointer (`/bridges/0/lift/travel`), what was found and what is wanted. "
                   "Unknown and repeated keys are mistakes. Warnings do not make a file invalid.");
    roff_paragraph(out, "Copy one of the examples, change it, and let the daemon check it:");
    roff_literal(out, "drawtenderd --config my-bridge.json --check\n"
                      "drawtender reckon my-bridge.json\n");
    roff_paragraph(out, "The first also prints what guards the bridge: the daemon cannot ensure "
                        "what is not guarded.");
    print_quantities(out);
    roff_section(out, "OBJECTS");
    for (size_t i = 0; tables_object(i) != NULL; i++) {
        print_object(tables_object(i), out);
    }
    roff_section(out, "FILES");
    roff_item(out, "/etc/drawtender/bridge.json");
    roff_text(out, "the configuration that the service runs.");
    roff_section(out, "CAUTION");
    roff_text(out,
              "Moving mass can crush fingers. A hard-wired emergency stop that cuts the motor's "
              "supply, a current limit, guards where parts close on one another, and room to keep "
              "clear come first; follow your local electrical code. This software is not a safety "
              "device.");
}

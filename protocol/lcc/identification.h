/* identification.h: what a node says of itself. Simple Node Information S, 22 Jul 2024; and the
 * same words as memory, the spaces FC and FB of Memory Configuration S. */
#ifndef PROTOCOL_LCC_IDENTIFICATION_H
#define PROTOCOL_LCC_IDENTIFICATION_H

#include <stdbool.h>
#include <stdint.h>

/* With the zero at the end (S). */
enum {
    LCC_MANUFACTURER_SIZE = 41,
    LCC_MODEL_SIZE = 41,
    LCC_HARDWARE_SIZE = 21,
    LCC_SOFTWARE_SIZE = 21,
    LCC_NAME_SIZE = 63,
    LCC_DESCRIPTION_SIZE = 64,
    LCC_MADE_BYTES = 1 + LCC_MANUFACTURER_SIZE + LCC_MODEL_SIZE + LCC_HARDWARE_SIZE +
                     LCC_SOFTWARE_SIZE,                         /* space FC */
    LCC_NAMED_BYTES = 1 + LCC_NAME_SIZE + LCC_DESCRIPTION_SIZE, /* space FB */
    LCC_IDENTIFICATION_MAX = LCC_MADE_BYTES + LCC_NAMED_BYTES   /* the reply's content */
};

/* UTF-8, each with its zero within its size. */
struct lcc_identification {
    char manufacturer[LCC_MANUFACTURER_SIZE];
    char model[LCC_MODEL_SIZE];
    char hardware[LCC_HARDWARE_SIZE];
    char software[LCC_SOFTWARE_SIZE];
    char name[LCC_NAME_SIZE];
    char description[LCC_DESCRIPTION_SIZE];
};

/* Copies text into a field of `size`, cut between two characters if it is too long. */
void lcc_identification_set(char *field, unsigned size, const char *text);

/* Writes the content of a reply. Returns its length, LCC_IDENTIFICATION_MAX at most. */
unsigned lcc_identification_reply(const struct lcc_identification *identification,
                                  uint8_t content[LCC_IDENTIFICATION_MAX]);

/* Reads the content of a reply; what does not fit is cut. Returns false if it is ill-formed. */
bool lcc_identification_read(const uint8_t *content, unsigned length,
                             struct lcc_identification *identification);

/* Writes the same as memory: each word at its own place, zeros between. */
void lcc_identification_made(const struct lcc_identification *identification,
                             uint8_t space[LCC_MADE_BYTES]);
void lcc_identification_named(const struct lcc_identification *identification,
                              uint8_t space[LCC_NAMED_BYTES]);

#endif

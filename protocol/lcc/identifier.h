/* identifier.h: node ids (48 bits) and event ids (64 bits), as numbers, bytes and text. On the wire
 * the highest byte comes first. */
#ifndef PROTOCOL_LCC_IDENTIFIER_H
#define PROTOCOL_LCC_IDENTIFIER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { LCC_NODE_BYTES = 6, LCC_EVENT_BYTES = 8 };

/* "0A.44.52.00.00.01" and "0A.44.52.00.00.01.00.02", with the zero at their end. */
enum { LCC_NODE_TEXT = 3 * LCC_NODE_BYTES, LCC_EVENT_TEXT = 3 * LCC_EVENT_BYTES };

/* Returns the number that `bytes` bytes make, 8 at most. */
uint64_t lcc_get(const uint8_t *from, unsigned bytes);

/* Writes the low `bytes` bytes of a number, 8 at most. */
void lcc_put(uint8_t *to, uint64_t number, unsigned bytes);

/* Reads two hexadecimal digits a byte, small or capital, with a point between bytes. Returns false
 * for anything else. */
bool lcc_identifier_read(const char *text, unsigned bytes, uint64_t *number);

/* Writes capitals and points into `text`, 3 * bytes characters with the zero. */
void lcc_identifier_write(uint64_t number, unsigned bytes, char *text);

/* Returns whether a node may have this id: not 0, and its first byte neither 00 nor FF (Unique
 * Identifiers S, 14 Jun 2025). */
bool lcc_node_id_is_allowed(uint64_t id);

#endif

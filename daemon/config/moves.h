/* moves.h: a configuration of which one value at a time is moved by what it may be off by
 * ("31 kg +- 2 kg"), for whoever asks what follows from that. Nothing is printed. */
#ifndef CONFIG_MOVES_H
#define CONFIG_MOVES_H

#include "config/reader/report.h"
#include "config/settings.h"

#include <stdbool.h>
#include <stddef.h>

struct config_moves;

/* NULL: no memory left. A text that cannot be read, as config_read_text() would say, has no values
 * to move. */
struct config_moves *config_moves_begin(const char *text, size_t length);
void config_moves_end(struct config_moves *moves);

/* The values of bridges that may be off. */
size_t config_moves_count(const struct config_moves *moves);
const char *config_moves_where(const struct config_moves *moves, size_t index);
unsigned config_moves_bridge(const struct config_moves *moves, size_t index);

/* The value moved by `times` of its spread, to six digits. */
void config_moves_text(const struct config_moves *moves, size_t index, double times, char *text,
                       size_t size);

/* As config_read_text(), this value moved so, but that only its bridge is filled, without its
 * node of LCC, and the rest of `config` is left. Defaults that are worked out from it move along.
 */
bool config_moves_read(struct config_moves *moves, size_t index, double times,
                       struct config *config, struct config_report *report);

#endif

/* news.h: the last news, numbered, for subscribers that missed some. An id ("1795615200123-17")
 * says of which start of the daemon it is, and which number. */
#ifndef PANEL_NEWS_H
#define PANEL_NEWS_H

#include "panel/live/shared.h"

#include <cjson/cJSON.h>
#include <stdint.h>

enum { NEWS_KEPT = 256, NEWS_ID_SIZE = 48 };

struct news {
    uint64_t start; /* of the daemon, any number of its own */
    uint64_t count; /* so many there have been: they are numbered from 1 to this */
    struct shared *kept[NEWS_KEPT];
};

/* All zero but `start` before the first. */
void news_clear(struct news *news);

/* One more, as an event of the stream; `json` is freed, and lost if there is no memory. */
void news_add(struct news *news, cJSON *json);

/* NULL: no longer kept, or could not be. */
struct shared *news_get(const struct news *news, uint64_t number);

/* The number of the oldest that is kept, or will be. */
uint64_t news_oldest(const struct news *news);

/* Which number to go on with for one who had up to `id` (NULL: nothing): the next one, or the
 * oldest there is; without an id, or with an invalid one, what comes from now on. */
uint64_t news_after(const struct news *news, const char *id);

/* The id of having all before `number`. */
void news_id(const struct news *news, uint64_t number, char id[NEWS_ID_SIZE]);

#endif

#include "panel/live/news.h"

#include <ctype.h>
#include <errno.h>
#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void news_clear(struct news *news) {
    for (unsigned i = 0; i < NEWS_KEPT; i++) {
        shared_release(news->kept[i]);
        news->kept[i] = NULL;
    }
}

void news_add(struct news *news, cJSON *json) {
    char *text = cJSON_PrintUnformatted(json);
    cJSON_Delete(json);
    struct shared **place = &news->kept[++news->count % NEWS_KEPT];
    shared_release(*place);
    *place = NULL;
    char id[NEWS_ID_SIZE];
    news_id(news, news->count + 1, id);
    size_t size = text != NULL ? strlen(text) + NEWS_ID_SIZE + 32 : 0;
    char *event = text != NULL ? malloc(size) : NULL;
    if (event != NULL) {
        int length = snprintf(event, size, "id: %s\nevent: news\ndata: %s\n\n", id, text);
        *place = shared_new(event, (size_t)length);
    }
    free(event);
    cJSON_free(text);
}

struct shared *news_get(const struct news *news, uint64_t number) {
    bool is_kept = number > 0 && number <= news->count && news->count - number < NEWS_KEPT;
    return is_kept ? news->kept[number % NEWS_KEPT] : NULL;
}

static bool read_number(const char *text, char behind, uint64_t *number, const char **end) {
    char *after;
    errno = 0;
    unsigned long long value = strtoull(text, &after, 10);
    *number = value;
    *end = after + 1;
    return isdigit((unsigned char)text[0]) && errno == 0 && *after == behind;
}

uint64_t news_oldest(const struct news *news) {
    return news->count >= NEWS_KEPT ? news->count - NEWS_KEPT + 1 : 1;
}

uint64_t news_after(const struct news *news, const char *id) {
    uint64_t start;
    uint64_t number;
    const char *rest;
    const char *end;
    if (id == NULL || !read_number(id, '-', &start, &rest) ||
        !read_number(rest, '\0', &number, &end)) {
        return news->count + 1;
    }
    if (start != news->start || number > news->count) {
        number = 0; /* had of an earlier start: all is new */
    }
    uint64_t oldest = news_oldest(news);
    return number + 1 > oldest ? number + 1 : oldest;
}

void news_id(const struct news *news, uint64_t number, char id[NEWS_ID_SIZE]) {
    snprintf(id, NEWS_ID_SIZE, "%" PRIu64 "-%" PRIu64, news->start, number - 1);
}

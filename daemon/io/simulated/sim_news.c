#include "io/simulated/sim_news.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>

void sim_news_add(struct sim_news *news, const char *format, ...) {
    if (news->count == SIM_NEWS_LINES) {
        news->first = (news->first + 1) % SIM_NEWS_LINES;
        news->count--;
    }
    char *line = news->line[(news->first + news->count) % SIM_NEWS_LINES];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line, SIM_NEWS_SIZE, format, arguments);
    va_end(arguments);
    news->count++;
}

const char *sim_news_take(struct sim_news *news) {
    if (news->count == 0) {
        return NULL;
    }
    const char *line = news->line[news->first];
    news->first = (news->first + 1) % SIM_NEWS_LINES;
    news->count--;
    return line;
}

/* sim_news.h: what happened in the simulated world, line by line, until somebody takes it. */
#ifndef IO_SIM_NEWS_H
#define IO_SIM_NEWS_H

enum { SIM_NEWS_LINES = 16, SIM_NEWS_SIZE = 160 };

struct sim_news {
    char line[SIM_NEWS_LINES][SIM_NEWS_SIZE];
    unsigned first; /* index of the oldest; the lines go round */
    unsigned count; /* of lines that nobody has taken yet */
};

/* Adds one line, cut to size; the oldest gives way when nobody takes them. */
void sim_news_add(struct sim_news *news, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The oldest line, taken out; valid until the next sim_news_add(). NULL: none. */
const char *sim_news_take(struct sim_news *news);

#endif

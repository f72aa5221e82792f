/* echo.h: what drawtender is measured against: a bare libevent server that sends every line back,
 * and knows one word: a line that begins with "*" goes to every other client, by a bare loop of
 * write(). */
#ifndef BENCH_ECHO_H
#define BENCH_ECHO_H

/* Listens on a free port of 127.0.0.1, writes its number to `report` as a text line, and serves
 * until killed. */
void echo_run(int report);

#endif

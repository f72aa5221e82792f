/* tool_server.h: a server that says what a script tells it to, true or not, in a child process on a
 * loopback port of its own. It waits for its client and for nothing else. */
#ifndef SUPPORT_TOOL_SERVER_H
#define SUPPORT_TOOL_SERVER_H

#include <stdbool.h>
#include <stdint.h>
#include <sys/types.h>

enum tool_server_act {
    FAKE_END = 0,   /* ends a script */
    FAKE_ACCEPT,    /* the next connection gets this number */
    FAKE_SEND,      /* text, as it is */
    FAKE_EXPECT,    /* a line; text without its end */
    FAKE_CLOSE,     /* this end */
    FAKE_GONE,      /* the client closes its end and says nothing before */
    FAKE_HUSH,      /* this end says no more; the client closes its end and has said nothing */
    FAKE_FLOOD,     /* text, again and again until the client is gone */
    FAKE_INTERRUPT, /* SIGINT to the test */
};

struct tool_server_step {
    enum tool_server_act act;
    int connection; /* 0 to 3 */
    const char *text;
};

struct tool_server {
    uint16_t port;
    pid_t child;
};

void tool_server_start(struct tool_server *server, const struct tool_server_step *script);

/* Whether the script was played to its end as written, and the client then closed whatever the
 * script left open. */
bool tool_server_finish(struct tool_server *server);

/* What every client of ours says first; `id` is the session it gets. */
#define FAKE_HELLO(connection, mode, id)                                                           \
    {FAKE_ACCEPT, connection, 0}, {FAKE_SEND, connection, "fake 1.0; SRCP 0.8.4\r\n"},             \
        {FAKE_EXPECT, connection, "SET PROTOCOL SRCP 0.8.4"},                                      \
        {FAKE_SEND, connection, "1.000 201 OK PROTOCOL SRCP\n"},                                   \
        {FAKE_EXPECT, connection, "SET CONNECTIONMODE SRCP " mode},                                \
        {FAKE_SEND, connection, "1.000 202 OK CONNECTIONMODE\n"}, {FAKE_EXPECT, connection, "GO"}, \
    {                                                                                              \
        FAKE_SEND, connection, "1.000 200 OK GO " id "\n"                                          \
    }

/* The client asks whether all has come: connection 0 commands (session 7), 1 listens (session 8).
 */
#define FAKE_MARK(number)                                                                          \
    {FAKE_EXPECT, 0, "SET 0 GM 8 7 MARK " number}, {FAKE_SEND, 0, "2.000 200 OK\n"}, {             \
        FAKE_SEND, 1, "2.000 100 INFO 0 GM 8 7 MARK " number "\n"                                  \
    }

/* Both sessions begin; the dump is not told yet. */
#define FAKE_SESSIONS                                                                              \
    FAKE_HELLO(0, "COMMAND", "7"), {FAKE_EXPECT, 0, "GET 1 DESCRIPTION"},                          \
        {FAKE_SEND, 0, "1.000 100 INFO 1 DESCRIPTION GA FB POWER LOCK\n"},                         \
        FAKE_HELLO(1, "INFO", "8")

/* Both sessions begin, and the dump is told. */
#define FAKE_LINK(dump) FAKE_SESSIONS, {FAKE_SEND, 1, dump}, FAKE_MARK("1")

/* The client asks this, it is granted, and this is the news of it. */
#define FAKE_GRANT(line, news)                                                                     \
    {FAKE_EXPECT, 0, line}, {FAKE_SEND, 1, news}, {FAKE_SEND, 0, "3.000 200 OK\n"}, FAKE_MARK("2")

/* The client asks this, and it is refused for now; these are the messages about it. */
#define FAKE_REFUSE(line, news)                                                                    \
    {FAKE_EXPECT, 0, line}, {FAKE_SEND, 1, news},                                                  \
        {FAKE_SEND, 0, "3.000 413 ERROR temporarily prohibited\n"}, FAKE_MARK("2")

#endif

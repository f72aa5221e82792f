/* talk.h: one session with a server: connect, handshake, send a line, receive a line, each
 * until a deadline and in bounded memory. */
#ifndef TOOLS_DRAWTENDER_TALK_H
#define TOOLS_DRAWTENDER_TALK_H

#include "base/error.h"
#include "protocol/client.h"
#include "protocol/code.h"
#include "protocol/line.h"
#include "tools/drawtender/base/deadline.h"

#include <stdbool.h>
#include <stdint.h>

enum { TALK_CHUNK = 4096 };

struct talk {
    int socket;      /* -1: closed */
    int interrupt;   /* descriptor that ends a receive when it becomes readable; -1: none */
    int typed;       /* the same, of somebody at the keyboard */
    int32_t session; /* given by the server, 1 and up */
    struct srcp_line_reader reader;
    char chunk[TALK_CHUNK];
    struct srcp_text unread; /* of the chunk */
};

enum talk_event {
    TALK_ANSWER = 0,
    TALK_GARBLED, /* a line that is no answer of the protocol; the session lives on */
    TALK_TIMED_OUT,
    TALK_LOST, /* closed by the server, or failed */
    TALK_INTERRUPTED,
};

/* Connects to `host` (a name or a numeric address, IPv4 or IPv6) and goes through the handshake.
 * Returns false and fills `error` when that is not done before the deadline; nothing is left open
 * then. Otherwise end it with talk_close(). */
bool talk_open(struct talk *talk, const char *host, uint16_t port, enum srcp_mode mode,
               struct deadline deadline, struct error *error);
void talk_close(struct talk *talk);

/* Connects alone, to a server of whatever protocol; `interrupt` as in struct talk. Returns
 * TALK_ANSWER once connected, TALK_INTERRUPTED, or TALK_LOST; but for the first, `error` is filled
 * and nothing is left open. */
enum talk_event talk_connect(struct talk *talk, const char *host, uint16_t port, int interrupt,
                             struct deadline deadline, struct error *error);

/* Waits for bytes, whatever they are. TALK_ANSWER: some came, good until the next call. */
enum talk_event talk_bytes(struct talk *talk, struct deadline deadline, struct srcp_text *bytes);

/* The next line of the server. Only TALK_ANSWER fills `answer`, whose texts are good until
 * the next call. */
enum talk_event talk_receive(struct talk *talk, struct deadline deadline,
                             struct srcp_answer *answer);

/* Sends `line` (without its end; printable ASCII, at most SRCP_LINE_MAX - 1 characters) and
 * returns the reply to it as talk_receive() does. */
enum talk_event talk_ask(struct talk *talk, const char *line, struct deadline deadline,
                         struct srcp_answer *reply);

/* Sends without waiting for the reply; TALK_ANSWER: it is sent. */
enum talk_event talk_send(struct talk *talk, const char *line, struct deadline deadline);

/* What went wrong, for people: "the server closed the connection". Static storage. */
const char *talk_event_text(enum talk_event event);

#endif

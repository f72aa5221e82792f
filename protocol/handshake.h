/* handshake.h: from the welcome line to GO. Pure: lines in, codes out.
 *
 *   welcome ──► open ──GO──► the session begins (200 OK GO <session-id>)
 *               │  ▲ │
 *               │  │ └──TERM 0 SESSION──► the connection ends (200 OK)
 *               └──┘ SET PROTOCOL SRCP <version>              201, or 400
 *                    SET CONNECTIONMODE SRCP COMMAND|INFO     202, or 401
 *                    a request broken off before its last word   402
 *                    anything else                               410
 *
 * The SETs may come in either order, again, or not at all; the last good one counts, a bad one
 * changes nothing. The time limit is the caller's. */
#ifndef PROTOCOL_HANDSHAKE_H
#define PROTOCOL_HANDSHAKE_H

#include "protocol/code.h"
#include "protocol/names.h"
#include "protocol/text.h"

/* All zero is the state after the welcome line. */
struct srcp_handshake {
    enum srcp_mode mode; /* of the session to come */
};

enum srcp_handshake_next {
    SRCP_HANDSHAKE_STAYS = 0, /* send `code`, go on */
    SRCP_HANDSHAKE_GOES,      /* GO: give the session an id and send srcp_reply_go(); if none can be
                                 given, send SRCP_OUT_OF_RESOURCES */
    SRCP_HANDSHAKE_ENDS,      /* send `code`, then close */
};

/* One line (SRCP_LINE_TEXT) of the handshake. Always fills `code`. Lines that line.h calls bad or
 * too long are answered 410 and 418 by the caller and do not come here. */
enum srcp_handshake_next srcp_handshake_step(struct srcp_handshake *handshake,
                                             struct srcp_text line, enum srcp_code *code);

#endif

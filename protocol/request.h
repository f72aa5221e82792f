/* request.h: one line of a command session, as a typed request.
 * Faults are found in a fixed order (our decision, see README.md): command word 410, bus 412, group
 * 422, command for the group 423 and 425, word count 418 and 419, address 421, values 412 and 420;
 * then, by the caller, right 415, lock 414, interlock 413. */
#ifndef PROTOCOL_REQUEST_H
#define PROTOCOL_REQUEST_H

#include "protocol/code.h"
#include "protocol/names.h"
#include "protocol/text.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    /* Characters of free text, GM's type included: as many as fit whole into any line that tells it
     * again. More: 418, as if the line were too long. */
    SRCP_FREE_TEXT_MAX = 900,
    SRCP_DAY_MAX = 9999999,   /* model days; in microseconds they fit into 64 bits */
    SRCP_TIME_RATE_MAX = 2000 /* fx, fy; times a century in microseconds it fits into 64 bits */
};

/* One bus that is there, and its groups as sets of bits 1u << enum srcp_group. Bus 0 is the server
 * itself and has to be listed too. */
struct srcp_bus {
    unsigned bus;
    unsigned groups;
    unsigned lockable; /* groups that LOCK may name on this bus; part of `groups` */
};

/* What is there at all; the caller's, constant while it is used. */
struct srcp_scope {
    const struct srcp_bus *bus;
    unsigned buses;
};

/* The words of a request. Fields that the command does not have are zero. Texts point into the line
 * that was parsed and live as long as it.
 *
 *   GET    GA address port                          INIT   GA address protocol [words]
 *   SET    GA address port value delay_ms           TERM   GA address
 *   WAIT   GA address port value timeout_s
 *   GET    FB address                               INIT   FB address protocol [words]
 *   WAIT   FB address value timeout_s               TERM   FB address
 *   GET    POWER                                    INIT   POWER
 *   SET    POWER is_on [text]                       TERM   POWER
 *   GET    LOCK target address                      TERM   LOCK target address
 *   SET    LOCK target address duration_s
 *   GET    TIME                                     INIT   TIME time.fx time.fy
 *   SET    TIME time.day .hour .minute .second      TERM   TIME
 *   WAIT   TIME time.day .hour .minute .second
 *   GET    SESSION [session]                        TERM   SESSION [session]
 *   GET    SERVER                                   RESET, TERM SERVER
 *   GET    DESCRIPTION [target [address]]
 *   SET    GM send_to reply_to type [text]
 *   CHECK  as SET, of every group that has SET
 *   SET, CHECK FB: an option of the language that no detector here offers, 425
 */
struct srcp_request {
    enum srcp_command command;
    unsigned bus;
    enum srcp_group group;

    /* SRCP_NO_FAULT, or the fault of a word after the address: to be answered once the caller has
     * found that the address exists (else 421 goes first). The other fields are then not all
     * filled. Ports and values that the device itself does not know (412) are the caller's too. */
    enum srcp_code value_fault;

    int32_t address;    /* any number; whether it exists is the caller's question */
    bool has_address;   /* DESCRIPTION: an address was given */
    int32_t port;       /* 0 and up */
    int32_t value;      /* any number */
    int32_t delay_ms;   /* -1: no automatic 0; else 1 and up (0 on the wire is read as -1) */
    int32_t timeout_s;  /* 0 and up */
    int32_t duration_s; /* 0 and up; 0: without end */
    bool is_on;         /* POWER ON */

    enum srcp_group target; /* LOCK, DESCRIPTION: the group named; it is there on this bus */
    bool has_target;

    int32_t session; /* 1 and up; 0: not given, meaning the own one */

    struct {
        int32_t day;                  /* 0 to SRCP_DAY_MAX */
        int32_t hour, minute, second; /* 0 to 23, 59, 59 */
        int32_t fx, fy;               /* model to real time; 1 to SRCP_TIME_RATE_MAX */
    } time;

    int32_t send_to;       /* session id, 0: all INFO sessions */
    int32_t reply_to;      /* session id, 0: nobody */
    struct srcp_text type; /* GM: the message's type, one word */
    struct srcp_text text; /* GM, POWER, INIT: the rest of the line as it was sent; may be empty; up
                              to SRCP_FREE_TEXT_MAX */
};

/* Parses a line (SRCP_LINE_TEXT, not empty). Returns SRCP_NO_FAULT with `request` filled, or the
 * code to answer; then `request` holds nothing of use. A SET of a known group is thus answered:
 *   code = srcp_request_parse(...);
 *   if (code == SRCP_NO_FAULT && !exists(request.address)) code = SRCP_UNSUPPORTED_DEVICE;
 *   if (code == SRCP_NO_FAULT) code = request.value_fault;
 *   ... the device's own port and value limits 412, right 415, lock 414, interlock 413. */
enum srcp_code srcp_request_parse(struct srcp_text line, const struct srcp_scope *scope,
                                  struct srcp_request *request);

/* The bus in the scope, or NULL. */
const struct srcp_bus *srcp_scope_bus(const struct srcp_scope *scope, int32_t bus);

#endif

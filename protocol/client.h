/* client.h: the other end: what a server's line says. For the command-line tool and for clients of
 * other servers. Lines are cut with line.h. */
#ifndef PROTOCOL_CLIENT_H
#define PROTOCOL_CLIENT_H

#include "protocol/names.h"
#include "protocol/text.h"

#include <stdbool.h>
#include <stdint.h>

enum srcp_answer_kind { SRCP_ANSWER_INFO = 0, SRCP_ANSWER_OK, SRCP_ANSWER_ERROR };

/* `<time> <code> INFO|OK|ERROR <words>`. Texts point into the line. */
struct srcp_answer {
    uint64_t time_us;           /* the time stamp; digits beyond the microsecond are dropped */
    struct srcp_text time;      /* the same, as sent */
    int32_t code;               /* 100 to 599; may be one that code.h does not know */
    enum srcp_answer_kind kind; /* by the word, not by the code */
    struct srcp_text words;     /* all that follows the kind; may be empty */

    /* INFO only, when its first words are a bus and a group that names.h knows. */
    bool has_group;
    unsigned bus;
    enum srcp_group group;
    struct srcp_text rest; /* the words after the group */
};

/* Reads a line of the server (SRCP_LINE_TEXT). Returns false for a line that is not an answer, such
 * as the welcome line; `answer` is then not filled. */
bool srcp_answer_parse(struct srcp_text line, struct srcp_answer *answer);

/* The session id in `200 OK GO <session-id>`, or 0. */
int32_t srcp_answer_session(const struct srcp_answer *answer);

/* Reads the welcome line (`<name> <version>; SRCP <version>; ...`): the value of a key such as
 * "SRCP", or an empty text. */
struct srcp_text srcp_welcome_value(struct srcp_text line, const char *key);

#endif

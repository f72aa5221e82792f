/* code.h: the reply codes and their fixed texts. The texts stand in one table, in code.c.
 * Source: recalled from SRCP 0.8.4, none seen in its text; see README.md. */
#ifndef PROTOCOL_CODE_H
#define PROTOCOL_CODE_H

enum srcp_code {
    SRCP_NO_FAULT = 0, /* never sent: nothing wrong so far */

    SRCP_INFO = 100,      /* a state */
    SRCP_INFO_INIT = 101, /* a device was set up, with its words */
    SRCP_INFO_TERM = 102, /* a device, lock or session is gone */

    SRCP_DONE = 200,
    SRCP_PROTOCOL_SET = 201,
    SRCP_MODE_SET = 202,

    SRCP_UNSUPPORTED_PROTOCOL = 400,
    SRCP_UNSUPPORTED_MODE = 401,
    SRCP_INSUFFICIENT_DATA = 402,
    SRCP_UNKNOWN_COMMAND = 410,
    SRCP_UNKNOWN_VALUE = 411,
    SRCP_WRONG_VALUE = 412,
    SRCP_PROHIBITED = 413, /* for now: the interlock says no */
    SRCP_LOCKED = 414,     /* another session holds the lock */
    SRCP_FORBIDDEN = 415,  /* not to this session, or never */
    SRCP_NO_DATA = 416,
    SRCP_TIMEOUT = 417,
    SRCP_LIST_TOO_LONG = 418,
    SRCP_LIST_TOO_SHORT = 419,
    SRCP_UNSUPPORTED_DEVICE_PROTOCOL = 420,
    SRCP_UNSUPPORTED_DEVICE = 421,
    SRCP_UNSUPPORTED_GROUP = 422,
    SRCP_UNSUPPORTED_OPERATION = 423,
    SRCP_REINITIALIZED = 424,
    SRCP_NOT_SUPPORTED = 425,
    SRCP_UNSPECIFIED_ERROR = 499,

    SRCP_OUT_OF_RESOURCES = 500,
};

/* What follows the code on the wire: "OK", "ERROR wrong value"; "INFO" for 100 to 102, whose words
 * reply.h adds. NULL for SRCP_NO_FAULT and for numbers that are not codes. Static storage. */
const char *srcp_code_text(enum srcp_code code);

#endif

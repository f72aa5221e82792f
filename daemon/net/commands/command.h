/* command.h: the command lines of a session, by the decision table in command.c.
 *
 * Faults are found in this order: what protocol/request.h finds (410, 422, 423, 418, 419), the
 * device (421), values (412, 420), the right (415), the lock (414), the bridge's stand
 * and the interlock (413). */
#ifndef NET_COMMAND_H
#define NET_COMMAND_H

#include "net/registry.h"

struct session;

/* Works off one line of a running session: answers it, or leaves a WAIT pending. */
void command_run(struct session *session, struct srcp_text line);

/* The rest is for the command_*.c files. */

struct command {
    struct session *session;
    struct net_server *server;
    const struct srcp_request *request;
    struct net_bridge *bridge; /* NULL on bus 0 */
    struct net_device *device; /* where the request names one */
    bool is_trial;             /* CHECK: change nothing, tell nobody */
};

/* All return SRCP_NO_FAULT to go on. */
struct command_row {
    enum srcp_group group;
    enum srcp_command command; /* CHECK is the row of SET */
    enum net_right right;
    enum srcp_code (*values)(const struct command *command); /* 412 and the like; may be NULL */
    enum srcp_code (*bars)(const struct command *command);   /* 415, then 414; may be NULL */
    /* Does it. Returns what to answer, or SRCP_NO_FAULT when it has answered itself, or will. */
    enum srcp_code (*act)(const struct command *command);
};

struct command_rows {
    const struct command_row *row;
    size_t count;
};

extern const struct command_rows command_device_rows; /* GA, FB, POWER */
extern const struct command_rows command_lock_rows;
extern const struct command_rows command_time_rows;
extern const struct command_rows command_server_rows; /* SERVER, SESSION, DESCRIPTION */
extern const struct command_rows command_message_rows;

/* For devices that the configuration sets up: INIT changes nothing, TERM is for nobody. */
enum srcp_code command_done(const struct command *command);
enum srcp_code command_never(const struct command *command);

/* 414 while another session holds the device's lock. */
enum srcp_code command_lock_bars(const struct command *command);

/* Asks the bridge, or only what it would answer (CHECK), and tells INFO sessions why it refused:
 * 200, 413, or 415 for what this bridge can never do. */
enum srcp_code command_ask(const struct command *command, const struct bridge_request *request,
                           unsigned address);

#endif

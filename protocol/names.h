/* names.h: the closed sets of words in the language: commands, device groups, modes. */
#ifndef PROTOCOL_NAMES_H
#define PROTOCOL_NAMES_H

#include "protocol/text.h"

#include <stdbool.h>

enum srcp_command {
    SRCP_GET = 0,
    SRCP_SET,
    SRCP_CHECK, /* would the like SET be taken? */
    SRCP_WAIT,
    SRCP_INIT,
    SRCP_TERM,
    SRCP_RESET,
    SRCP_VERIFY,
    SRCP_COMMANDS
};

enum srcp_group {
    SRCP_GL = 0, /* locomotives: known, never offered here */
    SRCP_GA,     /* accessories: span, lock, horn, lights, signals */
    SRCP_FB,     /* feedback: contacts and detectors */
    SRCP_SM,     /* decoder programming: known, never offered here */
    SRCP_POWER,
    SRCP_LOCK,
    SRCP_TIME,
    SRCP_SESSION,
    SRCP_SERVER,
    SRCP_DESCRIPTION,
    SRCP_GM, /* generic messages */
    SRCP_GROUPS
};

/* What a connection is for; chosen in the handshake. */
enum srcp_mode { SRCP_COMMAND_MODE = 0, SRCP_INFO_MODE, SRCP_MODES };

const char *srcp_group_name(enum srcp_group group);
const char *srcp_mode_name(enum srcp_mode mode);

/* The other way; false and nothing written for a word that is none of them. */
bool srcp_command_named(struct srcp_text word, enum srcp_command *command);
bool srcp_group_named(struct srcp_text word, enum srcp_group *group);
bool srcp_mode_named(struct srcp_text word, enum srcp_mode *mode);

#endif

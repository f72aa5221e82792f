#include "protocol/names.h"

static const char *const command_names[SRCP_COMMANDS] = {
    [SRCP_GET] = "GET",   [SRCP_SET] = "SET",   [SRCP_CHECK] = "CHECK", [SRCP_WAIT] = "WAIT",
    [SRCP_INIT] = "INIT", [SRCP_TERM] = "TERM", [SRCP_RESET] = "RESET", [SRCP_VERIFY] = "VERIFY",
};

static const char *const group_names[SRCP_GROUPS] = {
    [SRCP_GL] = "GL",         [SRCP_GA] = "GA",
    [SRCP_FB] = "FB",         [SRCP_SM] = "SM",
    [SRCP_POWER] = "POWER",   [SRCP_LOCK] = "LOCK",
    [SRCP_TIME] = "TIME",     [SRCP_SESSION] = "SESSION",
    [SRCP_SERVER] = "SERVER", [SRCP_DESCRIPTION] = "DESCRIPTION",
    [SRCP_GM] = "GM",
};

static const char *const mode_names[SRCP_MODES] = {
    [SRCP_COMMAND_MODE] = "COMMAND",
    [SRCP_INFO_MODE] = "INFO",
};

const char *srcp_group_name(enum srcp_group group) {
    return group_names[group];
}

const char *srcp_mode_name(enum srcp_mode mode) {
    return mode_names[mode];
}

/* Returns `count` when no name fits. */
static unsigned find(struct srcp_text word, const char *const *names, unsigned count) {
    unsigned i = 0;
    while (i < count && !srcp_text_is(word, names[i])) {
        i++;
    }
    return i;
}

bool srcp_command_named(struct srcp_text word, enum srcp_command *command) {
    const unsigned found = find(word, command_names, SRCP_COMMANDS);
    if (found == SRCP_COMMANDS) {
        return false;
    }
    *command = (enum srcp_command)found;
    return true;
}

bool srcp_group_named(struct srcp_text word, enum srcp_group *group) {
    const unsigned found = find(word, group_names, SRCP_GROUPS);
    if (found == SRCP_GROUPS) {
        return false;
    }
    *group = (enum srcp_group)found;
    return true;
}

bool srcp_mode_named(struct srcp_text word, enum srcp_mode *mode) {
    const unsigned found = find(word, mode_names, SRCP_MODES);
    if (found == SRCP_MODES) {
        return false;
    }
    *mode = (enum srcp_mode)found;
    return true;
}

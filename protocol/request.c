#include "protocol/request.h"

#include <stddef.h>
#include <string.h>

/* What a word of a request is. */
enum slot {
    SLOT_ADDRESS = 0,
    SLOT_TARGET,
    SLOT_LOCK_TARGET,
    SLOT_PROTOCOL,
    SLOT_SWITCH,
    SLOT_TYPE,
    /* numbers from here on: number_slots[] */
    SLOT_PORT,
    SLOT_VALUE,
    SLOT_DELAY,
    SLOT_TIMEOUT,
    SLOT_DURATION,
    SLOT_SESSION,
    SLOT_DAY,
    SLOT_HOUR,
    SLOT_MINUTE,
    SLOT_SECOND,
    SLOT_FX,
    SLOT_FY,
    SLOT_SEND_TO,
    SLOT_REPLY_TO,
    SLOTS
};

enum { SYNTAX_SLOTS = 4 };

struct syntax {
    bool is_defined;
    bool is_not_offered; /* an option of the language */
    unsigned required;   /* words that must be there */
    unsigned slots;      /* words that may be there */
    bool takes_more;     /* any further words: free text */
    enum slot slot[SYNTAX_SLOTS];
};

/* clang-format off */
#define NOTHING {true, false, 0, 0, false, {0}}
#define NOT_OFFERED {true, true, 0, 0, false, {0}}
#define WORDS(count, ...) {true, false, count, count, false, {__VA_ARGS__}}
#define UP_TO(count, ...) {true, false, 0, count, false, {__VA_ARGS__}}
#define WORDS_AND_MORE(count, ...) {true, false, count, count, true, {__VA_ARGS__}}
/* clang-format on */

/* Commands that a group does not have: 423. CHECK reads the row of SET. */
static const struct syntax syntaxes[SRCP_GROUPS][SRCP_COMMANDS] =
    {
        [SRCP_GA] =
            {
                [SRCP_GET] = WORDS(2, SLOT_ADDRESS, SLOT_PORT),
                [SRCP_SET] = WORDS(4, SLOT_ADDRESS, SLOT_PORT, SLOT_VALUE, SLOT_DELAY),
                [SRCP_WAIT] = WORDS(4, SLOT_ADDRESS, SLOT_PORT, SLOT_VALUE, SLOT_TIMEOUT),
                [SRCP_INIT] = WORDS_AND_MORE(2, SLOT_ADDRESS, SLOT_PROTOCOL),
                [SRCP_TERM] = WORDS(1, SLOT_ADDRESS),
            },
        [SRCP_FB] =
            {
                [SRCP_GET] = WORDS(1, SLOT_ADDRESS),
                [SRCP_SET] = NOT_OFFERED, /* what a detector sees is not a client's to say */
                [SRCP_WAIT] = WORDS(3, SLOT_ADDRESS, SLOT_VALUE, SLOT_TIMEOUT),
                [SRCP_INIT] = WORDS_AND_MORE(2, SLOT_ADDRESS, SLOT_PROTOCOL),
                [SRCP_TERM] = WORDS(1, SLOT_ADDRESS),
            },
        [SRCP_POWER] =
            {
                [SRCP_GET] = NOTHING,
                [SRCP_SET] = WORDS_AND_MORE(1, SLOT_SWITCH),
                [SRCP_INIT] = NOTHING,
                [SRCP_TERM] = NOTHING,
            },
        [SRCP_LOCK] =
            {
                [SRCP_GET] = WORDS(2, SLOT_LOCK_TARGET, SLOT_ADDRESS),
                [SRCP_SET] = WORDS(3, SLOT_LOCK_TARGET, SLOT_ADDRESS, SLOT_DURATION),
                [SRCP_TERM] = WORDS(2, SLOT_LOCK_TARGET, SLOT_ADDRESS),
            },
        [SRCP_TIME] =
            {
                [SRCP_GET] = NOTHING,
                [SRCP_SET] = WORDS(4, SLOT_DAY, SLOT_HOUR, SLOT_MINUTE, SLOT_SECOND),
                [SRCP_WAIT] = WORDS(4, SLOT_DAY, SLOT_HOUR, SLOT_MINUTE, SLOT_SECOND),
                [SRCP_INIT] = WORDS(2, SLOT_FX, SLOT_FY),
                [SRCP_TERM] = NOTHING,
            },
        [SRCP_SESSION] =
            {
                [SRCP_GET] = UP_TO(1, SLOT_SESSION),
                [SRCP_TERM] = UP_TO(1, SLOT_SESSION),
            },
        [SRCP_SERVER] =
            {
                [SRCP_GET] = NOTHING,
                [SRCP_TERM] = NOTHING,
                [SRCP_RESET] = NOTHING,
            },
        [SRCP_DESCRIPTION] =
            {
                [SRCP_GET] = UP_TO(2, SLOT_TARGET, SLOT_ADDRESS),
            },
        [SRCP_GM] =
            {
                [SRCP_SET] = WORDS_AND_MORE(3, SLOT_SEND_TO, SLOT_REPLY_TO, SLOT_TYPE),
            },
};

/* clang-format off */
#define NUMBER(field, min, max) {offsetof(struct srcp_request, field), min, max}
/* clang-format on */

static const struct {
    size_t offset;
    int32_t min;
    int32_t max;
} number_slots[SLOTS] = {
    [SLOT_PORT] = NUMBER(port, 0, INT32_MAX),
    [SLOT_VALUE] = NUMBER(value, INT32_MIN, INT32_MAX),
    [SLOT_DELAY] = NUMBER(delay_ms, -1, INT32_MAX),
    [SLOT_TIMEOUT] = NUMBER(timeout_s, 0, INT32_MAX),
    [SLOT_DURATION] = NUMBER(duration_s, 0, INT32_MAX),
    [SLOT_SESSION] = NUMBER(session, 1, INT32_MAX),
    [SLOT_DAY] = NUMBER(time.day, 0, SRCP_DAY_MAX),
    [SLOT_HOUR] = NUMBER(time.hour, 0, 23),
    [SLOT_MINUTE] = NUMBER(time.minute, 0, 59),
    [SLOT_SECOND] = NUMBER(time.second, 0, 59),
    [SLOT_FX] = NUMBER(time.fx, 1, SRCP_TIME_RATE_MAX),
    [SLOT_FY] = NUMBER(time.fy, 1, SRCP_TIME_RATE_MAX),
    [SLOT_SEND_TO] = NUMBER(send_to, 0, INT32_MAX),
    [SLOT_REPLY_TO] = NUMBER(reply_to, 0, INT32_MAX),
};

const struct srcp_bus *srcp_scope_bus(const struct srcp_scope *scope, int32_t bus) {
    for (unsigned i = 0; i < scope->buses; i++) {
        if (bus >= 0 && scope->bus[i].bus == (unsigned)bus) {
            return &scope->bus[i];
        }
    }
    return NULL;
}

static enum srcp_code take_number(struct srcp_text word, enum slot slot,
                                  struct srcp_request *request) {
    int32_t number;
    if (!srcp_text_number(word, &number) || number < number_slots[slot].min ||
        number > number_slots[slot].max) {
        return SRCP_WRONG_VALUE;
    }
    if (slot == SLOT_DELAY && number == 0) {
        number = -1; /* our decision: no time until the automatic 0 is no automatic 0 */
    }
    memcpy((char *)request + number_slots[slot].offset, &number, sizeof number);
    return SRCP_NO_FAULT;
}

static enum srcp_code take_address(struct srcp_text word, struct srcp_request *request) {
    request->has_address = srcp_text_number(word, &request->address);
    return request->has_address ? SRCP_NO_FAULT : SRCP_UNSUPPORTED_DEVICE;
}

static enum srcp_code take_target(struct srcp_text word, unsigned groups,
                                  struct srcp_request *request) {
    request->has_target =
        srcp_group_named(word, &request->target) && (groups & 1u << request->target) != 0;
    return request->has_target ? SRCP_NO_FAULT : SRCP_UNSUPPORTED_GROUP;
}

static enum srcp_code take_switch(struct srcp_text word, struct srcp_request *request) {
    request->is_on = srcp_text_is(word, "ON");
    return request->is_on || srcp_text_is(word, "OFF") ? SRCP_NO_FAULT : SRCP_WRONG_VALUE;
}

static enum srcp_code take_word(struct srcp_text word, enum slot slot, const struct srcp_bus *bus,
                                struct srcp_request *request) {
    switch (slot) {
    case SLOT_ADDRESS:
        return take_address(word, request);
    case SLOT_TARGET:
        return take_target(word, bus->groups, request);
    case SLOT_LOCK_TARGET:
        return take_target(word, bus->lockable, request);
    case SLOT_PROTOCOL:
        return srcp_text_is(word, "P") ? SRCP_NO_FAULT : SRCP_UNSUPPORTED_DEVICE_PROTOCOL;
    case SLOT_SWITCH:
        return take_switch(word, request);
    case SLOT_TYPE:
        request->type = word;
        return SRCP_NO_FAULT;
    case SLOT_PORT:
    case SLOT_VALUE:
    case SLOT_DELAY:
    case SLOT_TIMEOUT:
    case SLOT_DURATION:
    case SLOT_SESSION:
    case SLOT_DAY:
    case SLOT_HOUR:
    case SLOT_MINUTE:
    case SLOT_SECOND:
    case SLOT_FX:
    case SLOT_FY:
    case SLOT_SEND_TO:
    case SLOT_REPLY_TO:
    case SLOTS:
        break;
    }
    return take_number(word, slot, request);
}

/* Words that say which device, as against what to do with it: their faults go first. */
static bool is_of_address(enum slot slot) {
    return slot == SLOT_ADDRESS || slot == SLOT_TARGET || slot == SLOT_LOCK_TARGET;
}

static enum srcp_code take_words(struct srcp_text rest, const struct syntax *syntax,
                                 const struct srcp_bus *bus, struct srcp_request *request) {
    for (unsigned i = 0; i < syntax->slots && rest.length > 0; i++) {
        const struct srcp_text word = srcp_text_word(&rest);
        const enum srcp_code fault = take_word(word, syntax->slot[i], bus, request);
        if (fault != SRCP_NO_FAULT && is_of_address(syntax->slot[i])) {
            return fault;
        }
        if (fault != SRCP_NO_FAULT) {
            request->value_fault = fault;
            return SRCP_NO_FAULT;
        }
    }
    request->text = rest;
    return SRCP_NO_FAULT;
}

static size_t free_text_length(struct srcp_text rest, const struct syntax *syntax) {
    for (unsigned i = 0; i < syntax->slots && syntax->slot[i] != SLOT_TYPE; i++) {
        srcp_text_word(&rest);
    }
    return syntax->takes_more ? rest.length : 0;
}

/* The three words that every request begins with. */
static enum srcp_code take_head(struct srcp_text *rest, const struct srcp_scope *scope,
                                struct srcp_request *request, const struct srcp_bus **bus) {
    if (!srcp_command_named(srcp_text_word(rest), &request->command)) {
        return SRCP_UNKNOWN_COMMAND;
    }
    if (rest->length == 0) {
        return SRCP_LIST_TOO_SHORT;
    }
    int32_t number;
    if (!srcp_text_number(srcp_text_word(rest), &number) ||
        (*bus = srcp_scope_bus(scope, number)) == NULL) {
        return SRCP_WRONG_VALUE;
    }
    request->bus = (*bus)->bus;
    if (rest->length == 0) {
        return SRCP_LIST_TOO_SHORT;
    }
    if (!srcp_group_named(srcp_text_word(rest), &request->group) ||
        ((*bus)->groups & 1u << request->group) == 0) {
        return SRCP_UNSUPPORTED_GROUP;
    }
    return SRCP_NO_FAULT;
}

enum srcp_code srcp_request_parse(struct srcp_text line, const struct srcp_scope *scope,
                                  struct srcp_request *request) {
    memset(request, 0, sizeof *request);
    const struct srcp_bus *bus = NULL;
    struct srcp_text rest = srcp_text_trim(line);
    const enum srcp_code fault = take_head(&rest, scope, request, &bus);
    if (fault != SRCP_NO_FAULT) {
        return fault;
    }
    const enum srcp_command row = request->command == SRCP_CHECK ? SRCP_SET : request->command;
    const struct syntax *syntax = &syntaxes[request->group][row];
    if (!syntax->is_defined) {
        return SRCP_UNSUPPORTED_OPERATION;
    }
    if (syntax->is_not_offered) {
        return SRCP_NOT_SUPPORTED;
    }
    const unsigned words = srcp_text_words(rest);
    if (words < syntax->required) {
        return SRCP_LIST_TOO_SHORT;
    }
    if ((words > syntax->slots && !syntax->takes_more) ||
        free_text_length(rest, syntax) > SRCP_FREE_TEXT_MAX) {
        return SRCP_LIST_TOO_LONG;
    }
    return take_words(rest, syntax, bus, request);
}

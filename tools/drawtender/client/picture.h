/* picture.h: one bridge as its server tells of it, put together from the lines of an INFO session.
 * Pure, and bounded: a server that tells more than fits is believed up to there. All text is
 * printable ASCII, as protocol/line.h lets nothing else through. */
#ifndef TOOLS_DRAWTENDER_PICTURE_H
#define TOOLS_DRAWTENDER_PICTURE_H

#include "protocol/client.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    PICTURE_DEVICES_MAX = 128,
    PICTURE_PORTS_MAX = 14,
    PICTURE_WORD_SIZE = 24,
    PICTURE_TEXT_SIZE = 160,
    PICTURE_GUARDS_MAX = 40,
    PICTURE_GUARD_SIZE = 320,
};

struct picture_device {
    enum srcp_group group; /* SRCP_GA or SRCP_FB */
    int32_t address;
    char label[PICTURE_TEXT_SIZE]; /* "signal main west"; by its address if the server has no words
                                    */
    bool is_known[PICTURE_PORTS_MAX];
    int32_t value[PICTURE_PORTS_MAX]; /* FB has port 0 alone */
    bool is_locked;
    int32_t lock_session; /* 0: the bridge itself */
    int32_t lock_left_s;  /* as told; 0: without end */
};

struct picture_motion {
    double position, speed, current_a, volts; /* NAN: not told */
    char unit[PICTURE_WORD_SIZE];             /* of the position; of the speed per second */
    bool is_slowed;                           /* slower than a hand at a throttle asks */
};

/* A condition that a person guards, or that something could be fitted to guard better. */
struct picture_guard {
    char how[PICTURE_WORD_SIZE];        /* "proved", "by-time", "by-word" */
    char invariants[PICTURE_WORD_SIZE]; /* "S3,S4" */
    char words[PICTURE_GUARD_SIZE];
};

struct picture_refusal {
    int32_t session; /* whose request it was */
    char reason[PICTURE_TEXT_SIZE];
};

struct picture {
    unsigned bus;
    size_t devices;
    struct picture_device device[PICTURE_DEVICES_MAX];
    bool has_phase;
    char phase[PICTURE_WORD_SIZE];
    char goal[PICTURE_WORD_SIZE];
    char waits_for[PICTURE_TEXT_SIZE]; /* empty: for nothing */
    bool has_motion;
    struct picture_motion motion;
    char fault[PICTURE_WORD_SIZE]; /* empty: none */
    char fault_words[PICTURE_TEXT_SIZE];
    bool has_power;
    bool is_power_on;
    struct picture_refusal refusal; /* the last one */
    char train_words[PICTURE_TEXT_SIZE];
    size_t guards;
    struct picture_guard guard[PICTURE_GUARDS_MAX];
    int32_t mark; /* the last mark that was sent to this session; see picture_fold() */
};

/* What a line changed. */
enum picture_change_kind {
    PICTURE_NOTHING = 0,
    PICTURE_DEVICE, /* device, port */
    PICTURE_LOCK,   /* device */
    PICTURE_PHASE,
    PICTURE_MOTION,
    PICTURE_FAULT,
    PICTURE_POWER,
    PICTURE_REFUSED, /* somebody was */
    PICTURE_TRAIN,
    PICTURE_MARK,
};

struct picture_change {
    enum picture_change_kind kind;
    const struct picture_device *device; /* of the picture; good until the next fold */
    unsigned port;
};

void picture_start(struct picture *picture, unsigned bus);

/* Takes in one line. Lines about other buses, of other groups or malformed change nothing. A mark
 * is a message `100 INFO 0 GM <to> <from> MARK <number>`: who sends one to its own INFO session
 * knows, when it comes, that all that was told before has come too. */
struct picture_change picture_fold(struct picture *picture, const struct srcp_answer *answer);

bool picture_is_phase(const struct picture *picture, const char *phase);
bool picture_is_faulted(const struct picture *picture);

/* The device with this address, or NULL. */
const struct picture_device *picture_find(const struct picture *picture, enum srcp_group group,
                                          int32_t address);

/* The device with exactly this label, or NULL. */
const struct picture_device *picture_labelled(const struct picture *picture, enum srcp_group group,
                                              const char *label);

/* What follows `kind` and a blank in the device's label ("main west" of "signal main west"), or
 * NULL if the label does not begin so. */
const char *picture_place(const struct picture_device *device, const char *kind);

/* The value of a port, or `otherwise` where the server has not told it or there is no device. */
int32_t picture_value(const struct picture_device *device, unsigned port, int32_t otherwise);

#endif

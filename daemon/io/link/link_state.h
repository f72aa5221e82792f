/* link_state.h: all that a link remembers; shared by link.c, link_turn.c and link_end.c alone. */
#ifndef IO_LINK_STATE_H
#define IO_LINK_STATE_H

#include "io/link/link_brake.h"
#include "io/link/link_device.h"
#include "io/link/link_lock.h"
#include "io/link/link_points.h"
#include "io/link/link_session.h"
#include "io/port.h"

enum link_phase { LINK_RESTS = 0, LINK_CONNECTS, LINK_HOMES, LINK_RUNS };

enum link_question { LINK_ASKS_NOTHING = 0, LINK_GETS, LINK_SETS, LINK_LOCKS, LINK_BRAKES };

/* The one request whose reply is awaited. */
struct link_asked {
    enum link_question what;
    unsigned which; /* point, device, lock, train */
    bool is_on;     /* LINK_SETS: what was sent */
    uint64_t since_us;
};

struct link {
    struct link_setup setup;
    struct bridge_setup bridge;
    struct port_host host;
    const struct bridge_inputs *seen; /* of the whole bridge; may be NULL */

    struct link_points points;
    uint64_t doubted_us[LINK_POINTS_MAX]; /* since when; 0: not */
    unsigned devices;
    struct link_device device[LINK_LINES_MAX];
    unsigned locks;
    struct link_lock lock[LINK_LINES_MAX];
    struct link_brake brake;
    unsigned input_point[LINK_LINES_MAX];   /* of each input */
    unsigned output_device[LINK_LINES_MAX]; /* of each output; several may share one */

    struct link_session *session[SRCP_MODES];
    enum link_phase phase;
    uint64_t phase_us;    /* since when */
    uint64_t now_us;      /* as of the last call that said */
    uint64_t opened_us;   /* the first of them */
    uint64_t retry_at_us; /* LINK_RESTS */
    uint32_t pause_us;    /* the next one */
    uint64_t beat_at_us;
    uint64_t fresh_us;  /* the last reply */
    uint64_t window_us; /* when counting of bytes began, anew in each beat */
    uint32_t received;
    struct link_asked asked;
    unsigned offs_awaited; /* replies to "off" that was sent to all devices, in their order */
    unsigned next_point;   /* for the beat to ask for */

    const char *lost;            /* why the sessions are to be dropped, or NULL; static storage */
    bool is_dry;                 /* nothing is asked but what there is */
    bool was_on[LINK_LINES_MAX]; /* dry run: as last told, of each output */
    bool has_tracks;
    struct line_track tracks[BRIDGE_TRACKS_MAX]; /* dry run: for people */

    bool has_begun;                          /* now_us is known */
    bool has_run;                            /* once at least */
    bool has_answered;                       /* since the last sense */
    bool is_woken;                           /* something came that the bridge should see */
    bool is_in_order;                        /* as last logged */
    char told_trouble[LINK_LOCK_WORDS_SIZE]; /* as last logged; "": none */

    /* What a signal handler may send: "off" for every device. */
    char crash_lines[1 + LINK_LINES_MAX * LINK_LINE_SIZE];
    size_t crash_length; /* 0: nothing */
};

/* Sends the most urgent request, if none is under way: first what makes things safe. */
void link_turn(struct link *link);

/* Takes the reply to it. */
void link_turn_answered(struct link *link, const struct srcp_answer *answer);

/* Sends "off" for every device, all at once and without waiting, if the session is open. */
void link_switch_all_off(struct link *link);

/* Writes down what link_crash_safe() may send, while every device is wanted off. */
void link_prepare_crash(struct link *link);

/* Of struct port_ops. */
uint32_t link_wake_us(const void *port);
bool link_safe(void *port);
bool link_settle(void *port, uint32_t within_us);
void link_crash_safe(void *port);

#endif

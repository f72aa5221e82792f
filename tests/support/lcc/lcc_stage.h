/* lcc_stage.h: the LCC side with a scripted host, and other nodes as real TCP connections on
 * loopback, in one process and one event loop. Nothing sleeps: who expects something turns the loop
 * until it is there. */
#ifndef SUPPORT_LCC_STAGE_H
#define SUPPORT_LCC_STAGE_H

#include "config/config.h"
#include "lcc/lcc.h"
#include "support/net/turning.h"

enum { LCC_STAGE_CLIENTS = 16, LCC_STAGE_TEXT = 1 << 18 };
enum lcc_stage_listener { LCC_STAGE_OPERATES = 0, LCC_STAGE_OBSERVES };

struct lcc_peer {
    int fd; /* -1: gone */
    char text[LCC_STAGE_TEXT];
    size_t taken, length;
    char frame[40]; /* the one taken last */
    bool is_at_end;
};

struct lcc_stage {
    struct turning turning;
    struct config config;
    const struct bridge_setup *core[LCC_BRIDGES_MAX];
    struct bridge_view view[LCC_BRIDGES_MAX];
    struct lcc *lcc;
    struct lcc_peer *peer[LCC_STAGE_CLIENTS];
    unsigned peers;
    /* What the host was asked, and told. */
    enum bridge_answer answer;
    enum bridge_request_kind asked;
    unsigned asked_bridge, asks;
    int32_t who;
    int32_t barred_by;
    const char *kept_by_stand;
    char why[128]; /* of the last refusal */
    unsigned refusals;
    char visitor[160];      /* the words of the last that began */
    unsigned links;         /* that are up, as the host was told */
    unsigned visitors;      /* that began and did not end */
    struct lcc_said said;   /* the last of a line */
    struct lcc_clock clock; /* as it told last */
    unsigned clocks;        /* how often */
    unsigned saids, came;   /* how many, and how often that was all */
};

/* The demo's bridge as node 0A.44.52.00.00.01, and `bridges` - 1 more; one listener that lets its
 * clients operate and one that does not. All of it may be changed before lcc_stage_open(). */
void lcc_stage_init(struct lcc_stage *stage, unsigned bridges);
void lcc_stage_open(struct lcc_stage *stage);
void lcc_stage_close(struct lcc_stage *stage);

/* Until all has happened that can without a timer's time or another byte. */
void lcc_stage_settle(struct lcc_stage *stage);

/* Connects. */
struct lcc_peer *lcc_stage_connect(struct lcc_stage *stage, enum lcc_stage_listener listener);

/* Waits until every node is there, and takes off all that it has told. */
struct lcc_peer *lcc_stage_member(struct lcc_stage *stage, enum lcc_stage_listener listener);

/* Takes over a connected socket. */
struct lcc_peer *lcc_stage_peer(struct lcc_stage *stage, int fd);

/* The view has changed: a cycle ran. */
void lcc_stage_tell(struct lcc_stage *stage, unsigned bridge);

void lcc_peer_send(struct lcc_stage *stage, struct lcc_peer *peer, const char *text);

/* Returns the next frame; NULL at the end of the stream. */
const char *lcc_peer_frame(struct lcc_stage *stage, struct lcc_peer *peer);

/* Returns the next frame that has come; NULL: none has. */
const char *lcc_peer_came(struct lcc_stage *stage, struct lcc_peer *peer);

/* The next frame is this. */
void lcc_peer_expect(struct lcc_stage *stage, struct lcc_peer *peer, const char *frame);

/* Frames come, and this one among them. */
void lcc_peer_await(struct lcc_stage *stage, struct lcc_peer *peer, const char *frame);

/* Nothing has come. */
void lcc_peer_expect_nothing(struct lcc_stage *stage, struct lcc_peer *peer);

void lcc_peer_leave(struct lcc_stage *stage, struct lcc_peer *peer);

#endif

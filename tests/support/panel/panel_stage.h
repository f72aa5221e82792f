/* panel_stage.h: a panel, the host behind it that a test scripts, and browsers of a kind, in one
 * process and one event loop. Browsers are TCP sockets on loopback that send bytes as they are
 * told. Nothing sleeps: who expects something turns the loop until it is there (turning.h). */
#ifndef SUPPORT_PANEL_STAGE_H
#define SUPPORT_PANEL_STAGE_H

#include "panel/panel.h"
#include "support/net/turning.h"

#include <stdbool.h>
#include <stddef.h>

struct event;
struct event_base;

enum { BROWSERS_MAX = 80, BROWSER_HEAD_SIZE = 4096 };

struct browser {
    int fd;
    struct event *readable; /* NULL: not reading */
    char *bytes;            /* received */
    size_t taken, length, size;
    size_t received; /* ever */
    bool is_at_end;
    /* The last answer. */
    int code;
    char head[BROWSER_HEAD_SIZE];
    char *body;
    size_t body_length;
    /* The last event of a stream. */
    char event[16], id[64];
    char data[8192];
    char *stream; /* of the chunks */
    size_t stream_taken, stream_length;
};

struct panel_stage {
    struct turning turning;
    struct event_base *base; /* the turning's */
    struct config *config;
    struct panel *panel;
    const char *from; /* see panel_stage_from() */
    unsigned browsers;
    struct browser browser[BROWSERS_MAX];

    uint64_t now_us;
    struct bridge_view view[NET_BRIDGES_MAX];
    enum bridge_answer answer; /* to every request; granted ones take effect */
    struct bridge_request request;
    int32_t who;
    unsigned requests;         /* asked: not those of would() */
    unsigned views;            /* how often the panel looked */
    int32_t barred_by;         /* what barred_by() says of everything */
    const char *kept_by_stand; /* the same */
    unsigned refusals;
    char why[256]; /* of the last */
    int32_t visitor;
    bool has_begun;
    char visitor_words[256];
};

/* The Kettle Narrows with one panel on 127.0.0.1, any port; lined for rail. Change stage->config
 * before panel_stage_open() if need be. */
void panel_stage_init(struct panel_stage *stage);
void panel_stage_open(struct panel_stage *stage);
void panel_stage_close(struct panel_stage *stage);

/* Waits until something happens. */
void panel_stage_turn(struct panel_stage *stage);
/* Until all that can happen without another byte or a timer has happened. */
void panel_stage_settle(struct panel_stage *stage);

/* A cycle: `change` (may be NULL) does to the view what the world or the bridge did. */
void panel_stage_cycle(struct panel_stage *stage, void (*change)(struct bridge_view *view));

/* Whoever comes from now on has this address of loopback; NULL: the usual one, 127.0.0.1. */
void panel_stage_from(struct panel_stage *stage, const char *address);

/* Connects. `is_slow`: with small buffers, and not reading. */
struct browser *browser_come(struct panel_stage *stage, bool is_slow);
void browser_read(struct panel_stage *stage, struct browser *browser);
void browser_leave(struct browser *browser);

void browser_send(struct panel_stage *stage, struct browser *browser, const char *bytes,
                  size_t length);

/* Turns the loop until the answer is whole; browser->code, head and body are its. 0: the panel
 * closed without one. An answer of the panel's without its strict headers fails the test. */
int browser_answer(struct panel_stage *stage, struct browser *browser);

/* Comes, sends, and takes the answer; the browser is good until the next comes. */
struct browser *browse(struct panel_stage *stage, const char *request);

/* A GET from a browser that means well, with more headers ("Cookie: a=b\r\n"; may be ""). */
struct browser *browse_get(struct panel_stage *stage, const char *path, const char *headers);

/* A POST of JSON from the panel's own page. */
struct browser *browse_post(struct panel_stage *stage, const char *path, const char *headers,
                            const char *body);

/* The value of a header of the last answer in `value`; false: it has none. */
bool browser_header(const struct browser *browser, const char *name, char *value, size_t size);

/* Opens /live; the answer's head has come. */
struct browser *browser_listen(struct panel_stage *stage, const char *headers);

/* What `alive` tells a listener that comes now. */
void browser_newest_moment(struct panel_stage *stage, char *moment, size_t size);

/* The next event; false: the stream has ended. */
bool browser_event(struct panel_stage *stage, struct browser *browser);

/* The next event of this kind; others are passed over. */
void browser_await(struct panel_stage *stage, struct browser *browser, const char *event);

#endif

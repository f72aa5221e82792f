#include "support/lcc/lcc_stage.h"

#include "base/who.h"
#include "core/bridge.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* --- the host */

static const char *name_of(void *context, unsigned bridge) {
    return ((struct lcc_stage *)context)->config.net.bridge[bridge].name;
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    struct lcc_stage *stage = context;
    stage->asked = request->kind;
    stage->asked_bridge = bridge;
    stage->asks++;
    stage->who = who;
    return stage->answer;
}

static const struct bridge_view *view_of(void *context, unsigned bridge) {
    return &((struct lcc_stage *)context)->view[bridge];
}

/* Also where nobody may bar: whoever asks must know that. */
static int32_t barred_by(void *context, unsigned bridge, const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct lcc_stage *)context)->barred_by;
}

static const char *kept_by_stand(void *context, unsigned bridge,
                                 const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct lcc_stage *)context)->kept_by_stand;
}

static void refused(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why) {
    struct lcc_stage *stage = context;
    (void)bridge;
    (void)request;
    snprintf(stage->why, sizeof stage->why, "%s", why);
    stage->refusals++;
}

static void visitor(void *context, int32_t who, bool begins, const char *words) {
    struct lcc_stage *stage = context;
    assert_true(who < WHO_VISITOR_LEAST);
    stage->visitors += begins ? 1u : (unsigned)-1;
    if (begins) {
        snprintf(stage->visitor, sizeof stage->visitor, "%s", words);
    }
}

static void links(void *context, unsigned up) {
    ((struct lcc_stage *)context)->links = up;
}

static void said(void *context, unsigned bridge, const struct lcc_said *what) {
    struct lcc_stage *stage = context;
    assert_int_equal(bridge, 0);
    stage->said = *what;
    stage->saids++;
}

static void clock_told(void *context, const struct lcc_clock *clock, uint64_t now_us) {
    struct lcc_stage *stage = context;
    (void)now_us;
    stage->clock = *clock;
    stage->clocks++;
}

static void lines_came(void *context) {
    ((struct lcc_stage *)context)->came++;
}

/* --- the stage */

static void configure(struct lcc_stage *stage, unsigned bridges) {
    size_t length;
    const char *demo = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(demo, length);
    cJSON *list = cJSON_GetObjectItemCaseSensitive(tree, "bridges");
    static struct config_report report;
    config_text_patch(tree, "/lcc", "{\"listen\": [{\"may\": \"operate\"}, {\"port\": 12022}]}");
    for (unsigned b = 1; b < bridges; b++) {
        cJSON_AddItemToArray(list, cJSON_Duplicate(cJSON_GetArrayItem(list, 0), true));
    }
    for (unsigned b = 0; b < bridges; b++) {
        char where[64], what[64];
        snprintf(where, sizeof where, "/bridges/%u/lcc", b);
        snprintf(what, sizeof what, "{\"node\": \"0A.44.52.00.00.%02X\"}", b + 1);
        config_text_patch(tree, where, what);
        snprintf(where, sizeof where, "/bridges/%u/name", b);
        snprintf(what, sizeof what, "\"Kettle Narrows %u\"", b + 1);
        config_text_patch(tree, where, what);
        snprintf(where, sizeof where, "/bridges/%u/bus", b);
        snprintf(what, sizeof what, "%u", b + 1);
        config_text_patch(tree, where, what);
    }
    char *text = cJSON_PrintUnformatted(tree);
    if (!config_read_text(text, strlen(text), &stage->config, &report)) {
        config_text_print(&report.errors);
        fail();
    }
    cJSON_free(text);
    cJSON_Delete(tree);
}

void lcc_stage_init(struct lcc_stage *stage, unsigned bridges) {
    memset(stage, 0, sizeof *stage);
    turning_begin(&stage->turning);
    configure(stage, bridges);
    stage->answer = ANSWER_GRANTED;
    for (unsigned b = 0; b < bridges; b++) {
        stage->core[b] = &stage->config.net.bridge[b].setup;
        bridge_start(stage->core[b], &stage->view[b].state);
    }
    for (unsigned i = 0; i < stage->config.lcc.listeners; i++) {
        stage->config.lcc.listener[i].port = 0;
    }
}

void lcc_stage_open(struct lcc_stage *stage) {
    const struct lcc_host host = {.context = stage,
                                  .version = "0.1.0",
                                  .name = name_of,
                                  .ask = ask,
                                  .view = view_of,
                                  .barred_by = barred_by,
                                  .kept_by_stand = kept_by_stand,
                                  .refused = refused,
                                  .visitor = visitor,
                                  .links = links,
                                  .said = said,
                                  .lines_came = lines_came,
                                  .clock = clock_told};
    struct error error = {0};
    stage->lcc = lcc_new(stage->turning.base, &stage->config.lcc, stage->core,
                         stage->config.net.bridges, &host, &error);
    if (stage->lcc == NULL) {
        fail_msg("%s: %s", error.where, error.what);
    }
}

void lcc_stage_close(struct lcc_stage *stage) {
    lcc_free(stage->lcc);
    assert_int_equal(stage->visitors, 0);
    assert_int_equal(stage->links, 0);
    for (unsigned i = 0; i < stage->peers; i++) {
        if (stage->peer[i]->fd >= 0) {
            close(stage->peer[i]->fd);
        }
        free(stage->peer[i]);
    }
    turning_end(&stage->turning);
}

void lcc_stage_settle(struct lcc_stage *stage) {
    turning_settle(&stage->turning);
}

struct lcc_peer *lcc_stage_peer(struct lcc_stage *stage, int fd) {
    assert_true(fd >= 0 && stage->peers < LCC_STAGE_CLIENTS);
    struct lcc_peer *peer = calloc(1, sizeof *peer);
    assert_non_null(peer);
    peer->fd = fd;
    stage->peer[stage->peers++] = peer;
    assert_int_equal(fcntl(fd, F_SETFL, O_NONBLOCK), 0);
    int at_once =
        1; /* or the kernel would keep what is sent until what was before is acknowledged */
    assert_int_equal(setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &at_once, sizeof at_once), 0);
    return peer;
}

struct lcc_peer *lcc_stage_connect(struct lcc_stage *stage, enum lcc_stage_listener listener) {
    struct sockaddr_in to = {.sin_family = AF_INET,
                             .sin_addr.s_addr = htonl(INADDR_LOOPBACK),
                             .sin_port = htons(lcc_port(stage->lcc, listener))};
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_int_equal(connect(fd, (const struct sockaddr *)&to, sizeof to), 0);
    struct lcc_peer *peer = lcc_stage_peer(stage, fd);
    lcc_stage_settle(stage);
    return peer;
}

void lcc_stage_tell(struct lcc_stage *stage, unsigned bridge) {
    lcc_notify(stage->lcc, bridge, &stage->view[bridge]);
}

/* --- peers */

/* Returns whether anything came. */
static bool fill(struct lcc_peer *peer) {
    memmove(peer->text, peer->text + peer->taken, peer->length - peer->taken);
    peer->length -= peer->taken;
    peer->taken = 0;
    ssize_t got = recv(peer->fd, peer->text + peer->length, sizeof peer->text - peer->length, 0);
    if (got > 0) {
        peer->length += (size_t)got;
    } else if (got == 0 || errno != EAGAIN) {
        peer->is_at_end = true;
    }
    return got > 0;
}

static bool take(struct lcc_peer *peer) {
    while (peer->taken < peer->length && peer->text[peer->taken] == '\n') {
        peer->taken++;
    }
    const char *from = peer->text + peer->taken;
    const char *end = memchr(from, ';', peer->length - peer->taken);
    if (end == NULL) {
        return false;
    }
    size_t length = (size_t)(end - from) + 1;
    assert_true(length < sizeof peer->frame);
    memcpy(peer->frame, from, length);
    peer->frame[length] = '\0';
    peer->taken += length;
    return true;
}

const char *lcc_peer_frame(struct lcc_stage *stage, struct lcc_peer *peer) {
    while (!take(peer)) {
        if (fill(peer)) {
            continue;
        }
        if (peer->is_at_end) {
            return NULL;
        }
        turning_once(&stage->turning);
    }
    return peer->frame;
}

void lcc_peer_expect(struct lcc_stage *stage, struct lcc_peer *peer, const char *frame) {
    const char *got = lcc_peer_frame(stage, peer);
    assert_non_null(got);
    assert_string_equal(got, frame);
}

void lcc_peer_await(struct lcc_stage *stage, struct lcc_peer *peer, const char *frame) {
    for (;;) {
        const char *got = lcc_peer_frame(stage, peer);
        if (got == NULL) {
            fail_msg("%s never came", frame);
        }
        if (strcmp(got, frame) == 0) {
            return;
        }
    }
}

const char *lcc_peer_came(struct lcc_stage *stage, struct lcc_peer *peer) {
    lcc_stage_settle(stage);
    if (take(peer)) {
        return peer->frame;
    }
    fill(peer);
    return take(peer) ? peer->frame : NULL;
}

void lcc_peer_expect_nothing(struct lcc_stage *stage, struct lcc_peer *peer) {
    const char *frame = lcc_peer_came(stage, peer);
    if (frame != NULL) {
        fail_msg("%s came", frame);
    }
    assert_false(peer->is_at_end);
}

void lcc_peer_send(struct lcc_stage *stage, struct lcc_peer *peer, const char *text) {
    size_t left = strlen(text);
    while (left > 0) {
        ssize_t sent = send(peer->fd, text, left, MSG_NOSIGNAL);
        if (sent > 0) {
            text += sent;
            left -= (size_t)sent;
        } else {
            assert_int_equal(errno, EAGAIN);
        }
        lcc_stage_settle(stage);
    }
}

void lcc_peer_leave(struct lcc_stage *stage, struct lcc_peer *peer) {
    close(peer->fd);
    peer->fd = -1;
    lcc_stage_settle(stage);
}

struct lcc_peer *lcc_stage_member(struct lcc_stage *stage, enum lcc_stage_listener listener) {
    struct lcc_peer *peer = lcc_stage_connect(stage, listener);
    /* The last event of the last node: "emergency off of the bus", consumed; told at the start, or
     * asked for here. */
    lcc_peer_send(stage, peer, ":X1997034CN;");
    for (unsigned b = 0; b < stage->config.net.bridges; b++) {
        const char *frame;
        do {
            frame = lcc_peer_frame(stage, peer);
            assert_non_null(frame);
        } while (strncmp(frame, ":X194C7", 7) != 0 || strstr(frame, "N010000000000FFFF;") == NULL);
    }
    return peer;
}

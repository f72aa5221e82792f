#include "panel/requests.h"

#include "core/words/names.h"
#include "panel/http/answer.h"
#include "panel/http/body.h"
#include "panel/live/bridges_json.h"
#include "panel/live/freshness.h"
#include "panel/live/state_json.h"
#include "panel/parts.h"
#include "panel/permission.h"

#include <event2/event.h>
#include <event2/http.h>
#include <stdio.h>
#include <string.h>

struct known {
    const char *word;
    enum bridge_request_kind kind;
    bool is_good_late; /* it brings to rest, whenever it comes */
    bool has_share;    /* it says how far a throttle is open */
};

static const struct known known[] = {
    {"raise", REQUEST_RAISE, false, false},
    {"lower", REQUEST_LOWER, false, false},
    {"stop", REQUEST_STOP, true, false},
    {"emergency stop", REQUEST_EMERGENCY_STOP, true, false},
    {"acknowledge", REQUEST_ACKNOWLEDGE, false, false},
    {"seen clear", REQUEST_SEEN_CLEAR, false, false},
    {"throttle up", REQUEST_THROTTLE_UP, false, true},
    {"throttle down", REQUEST_THROTTLE_DOWN, false, true},
    {"throttle hold", REQUEST_THROTTLE_HOLD, false, true},
    {"let go", REQUEST_THROTTLE_HOLD, true, false}, /* share 0 */
    {"power on", REQUEST_POWER_ON, false, false},
    {"power off", REQUEST_POWER_OFF, true, false},
    {"horn", REQUEST_HORN_ON, false, false},
};

/* --- the horn */

static void horn_ends(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct panel *panel = context;
    for (unsigned b = 0; b < panel->context.config->net.bridges; b++) {
        if (panel->horn[b] != NULL && panel->horn_who[b] != 0 &&
            !evtimer_pending(panel->horn[b], NULL)) {
            const struct bridge_request request = {.kind = REQUEST_HORN_OFF};
            int32_t who = panel->horn_who[b];
            panel->horn_who[b] = 0;
            panel->context.host.ask(panel->context.host.context, who, b, &request);
        }
    }
}

/* Before it is asked to sound: without a timer it would not end. */
static bool time_horn(struct panel *panel, unsigned bridge, int32_t who) {
    static const struct timeval length = {.tv_sec = REQUESTS_HORN_MS / 1000,
                                          .tv_usec = REQUESTS_HORN_MS % 1000 * 1000};
    if (panel->horn[bridge] == NULL) {
        panel->horn[bridge] = evtimer_new(panel->context.base, horn_ends, panel);
    }
    panel->horn_who[bridge] = who;
    return panel->horn[bridge] != NULL && evtimer_add(panel->horn[bridge], &length) == 0;
}

void requests_free(struct panel *panel) {
    for (unsigned b = 0; b < NET_BRIDGES_MAX; b++) {
        if (panel->horn[b] != NULL) {
            event_free(panel->horn[b]);
        }
    }
}

/* --- asking */

/* What the body of a request says. */
struct wish {
    int bridge; /* -1: none on its bus */
    struct bridge_request asked;
    bool is_in_time;
};

static void say(struct evhttp_request *request, bool is_done, const char *words) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddBoolToObject(json, "granted", is_done);
    cJSON_AddStringToObject(json, "words", words);
    answer_json(request, is_done ? ANSWER_OK : ANSWER_CONFLICT, json);
}

static void refuse(struct panel *panel, unsigned bridge, const struct bridge_request *asked,
                   int32_t who, const char *why) {
    char name[VISITORS_NAME_SIZE + 16];
    char words[PERMISSION_WORDS_SIZE + 128];
    visitors_name(&panel->visitors, who, name, sizeof name);
    snprintf(words, sizeof words, "%s, requested by %s: %s", bridge_request_name(asked->kind), name,
             why);
    panel->context.host.refused(panel->context.host.context, bridge, asked, why);
    live_news(&panel->live, bridge, "refused", words);
}

/* A stop needs no grant. */
static const char *done_words(const struct bridge_request *asked, enum bridge_answer answer) {
    bool is_already = answer == ANSWER_ALREADY;
    if (bridge_request_lets_go(asked)) {
        return is_already ? "nothing was in the hand" : "let go; the bridge is held";
    }
    switch (asked->kind) {
    case REQUEST_EMERGENCY_STOP:
        return "done; a fault is latched";
    case REQUEST_STOP:
        return is_already ? "nothing to stop" : "done; the bridge is held";
    case REQUEST_POWER_OFF:
        return is_already ? "it is off" : "done";
    default:
        return bridge_answer_text(answer);
    }
}

/* "granted; waits for: approach locking to release (main, west)" */
static void granted_words(const struct panel *panel, unsigned bridge,
                          const struct bridge_request *asked, enum bridge_answer answer,
                          char words[PERMISSION_WORDS_SIZE]) {
    char waits[PERMISSION_WORDS_SIZE / 2];
    const struct bridge_view *view = panel->context.host.view(panel->context.host.context, bridge);
    state_json_waiting(&panel->context.config->net.bridge[bridge], view, waits, sizeof waits);
    bool moves = asked->kind == REQUEST_RAISE || asked->kind == REQUEST_LOWER ||
                 asked->kind == REQUEST_THROTTLE_UP || asked->kind == REQUEST_THROTTLE_DOWN;
    bool waits_for = moves && answer == ANSWER_GRANTED && waits[0] != '\0';
    snprintf(words, PERMISSION_WORDS_SIZE, "%s%s%s", done_words(asked, answer),
             waits_for ? "; waits for: " : "", waits_for ? waits : "");
}

static void ask(struct panel *panel, const struct wish *wish, int32_t who,
                struct evhttp_request *request) {
    const struct bridge_request *asked = &wish->asked;
    unsigned bridge = (unsigned)wish->bridge;
    char words[PERMISSION_WORDS_SIZE];
    if (permission_is_barred(&panel->context, bridge, asked, words)) {
        refuse(panel, bridge, asked, who, words);
        say(request, false, words);
        return;
    }
    if (asked->kind == REQUEST_HORN_ON && !time_horn(panel, bridge, who)) {
        say(request, false, "out of memory");
        return;
    }
    enum bridge_answer answer =
        panel->context.host.ask(panel->context.host.context, who, bridge, asked);
    if (bridge_answer_is_granted(answer)) {
        granted_words(panel, bridge, asked, answer, words);
        say(request, true, words);
    } else {
        panel->context.host.refused(panel->context.host.context, bridge, asked,
                                    permission_words(answer));
        say(request, false, permission_words(answer));
    }
}

static void say_late(struct panel *panel, const struct wish *wish, int32_t who,
                     struct evhttp_request *request) {
    static const char why[] = "too late, or from a stale page: look, then try again";
    refuse(panel, (unsigned)wish->bridge, &wish->asked, who, why);
    say(request, false, why);
}

/* --- reading */

static const struct known *find_known(const char *word) {
    for (size_t i = 0; word != NULL && i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(known[i].word, word) == 0) {
            return &known[i];
        }
    }
    return NULL;
}

/* As many members as it must have, and no other. */
static bool is_whole(const cJSON *body, const struct known *row) {
    const cJSON *share = cJSON_GetObjectItemCaseSensitive(body, "share");
    bool has_moment = body_text(body, "moment") != NULL;
    bool is_share = cJSON_IsNumber(share) && share->valuedouble >= THROTTLE_SHARE_LEAST &&
                    share->valuedouble <= 1;
    int members = 2 + (has_moment ? 1 : 0) + (row->has_share ? 1 : 0);
    return cJSON_GetArraySize(body) == members && (has_moment || row->is_good_late) &&
           is_share == row->has_share;
}

static bool read_wish(const struct panel *panel, const cJSON *body, struct wish *wish) {
    const cJSON *bus = cJSON_GetObjectItemCaseSensitive(body, "bus");
    const struct known *row = find_known(body_text(body, "ask"));
    if (row == NULL || !cJSON_IsNumber(bus) || !is_whole(body, row)) {
        return false;
    }
    wish->bridge = context_bridge_on_bus(&panel->context, bus->valuedouble);
    wish->asked.kind = row->kind;
    if (row->has_share && wish->bridge >= 0) {
        wish->asked.share = cJSON_GetObjectItemCaseSensitive(body, "share")->valuedouble;
        wish->asked.is_voltage = panel->context.config->bridge[wish->bridge].is_throttle_voltage;
    }
    wish->is_in_time =
        row->is_good_late ||
        freshness_is_fresh(body_text(body, "moment"), panel->live.news.start, context_clock_us());
    return true;
}

void requests_serve(struct panel *panel, const struct http_listener *listener,
                    struct evhttp_request *request) {
    struct wish wish = {.bridge = -1};
    cJSON *body = body_read(request, REQUESTS_BODY_MAX);
    if (body == NULL) {
        return;
    }
    bool is_read = read_wish(panel, body, &wish);
    cJSON_Delete(body);
    if (!is_read) {
        answer_error(
            request, ANSWER_BAD_REQUEST,
            "wanted {\"bus\": number, \"ask\": \"raise\", \"lower\", \"stop\", "
            "\"emergency stop\", \"acknowledge\", \"seen clear\", \"throttle up\", "
            "\"throttle down\", \"throttle hold\", \"let go\", \"power on\", \"power off\" or "
            "\"horn\", \"moment\": of the newest \"alive\", not needed to stop; \"share\" of a "
            "throttle: 0.05 to 1}");
        return;
    }
    if (wish.bridge < 0) {
        answer_error(request, ANSWER_NOT_FOUND, "no bridge on this bus");
        return;
    }
    int32_t who = visitors_who(&panel->visitors, &panel->context.host,
                               evhttp_connection_get_addr(evhttp_request_get_connection(request)),
                               bridges_json_right(listener->setup->right));
    if (wish.is_in_time) {
        ask(panel, &wish, who, request);
    } else {
        say_late(panel, &wish, who, request);
    }
}

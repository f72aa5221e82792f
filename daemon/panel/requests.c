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

static const struct {
    const char *word;
    enum bridge_request_kind kind;
    bool is_good_late; /* it brings to rest, whenever it comes */
} known[] = {
    {"raise", REQUEST_RAISE, false},
    {"lower", REQUEST_LOWER, false},
    {"stop", REQUEST_STOP, true},
    {"emergency stop", REQUEST_EMERGENCY_STOP, true},
    {"acknowledge", REQUEST_ACKNOWLEDGE, false},
    {"seen clear", REQUEST_SEEN_CLEAR, false},
    {"power on", REQUEST_POWER_ON, false},
    {"power off", REQUEST_POWER_OFF, true},
    {"horn", REQUEST_HORN_ON, false},
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
    snprintf(words, sizeof words, "%s, asked by %s: %s", bridge_request_name(asked->kind), name,
             why);
    panel->context.host.refused(panel->context.host.context, bridge, asked, why);
    live_news(&panel->live, bridge, "refused", words);
}

/* A stop is no favour that is granted. */
static const char *done_words(enum bridge_request_kind kind, enum bridge_answer answer) {
    bool is_already = answer == ANSWER_ALREADY;
    switch (kind) {
    case REQUEST_EMERGENCY_STOP:
        return "done; a fault is latched";
    case REQUEST_STOP:
        return is_already ? "there is nothing to stop" : "done; the bridge is held";
    case REQUEST_POWER_OFF:
        return is_already ? "it is off" : "done";
    default:
        return bridge_answer_text(answer);
    }
}

/* "granted; waits for: approach locking to release (main, west)" */
static void granted_words(const struct panel *panel, unsigned bridge, enum bridge_request_kind kind,
                          enum bridge_answer answer, char words[PERMISSION_WORDS_SIZE]) {
    char waits[PERMISSION_WORDS_SIZE / 2];
    const struct bridge_view *view = panel->context.host.view(panel->context.host.context, bridge);
    state_json_waiting(&panel->context.config->net.bridge[bridge], view, waits, sizeof waits);
    bool moves = kind == REQUEST_RAISE || kind == REQUEST_LOWER;
    bool waits_for = moves && answer == ANSWER_GRANTED && waits[0] != '\0';
    snprintf(words, PERMISSION_WORDS_SIZE, "%s%s%s", done_words(kind, answer),
             waits_for ? "; waits for: " : "", waits_for ? waits : "");
}

static void ask(struct panel *panel, unsigned bridge, enum bridge_request_kind kind, int32_t who,
                struct evhttp_request *request) {
    const struct bridge_request asked = {.kind = kind};
    char words[PERMISSION_WORDS_SIZE];
    if (permission_is_barred(&panel->context, bridge, &asked, words)) {
        refuse(panel, bridge, &asked, who, words);
        say(request, false, words);
        return;
    }
    if (kind == REQUEST_HORN_ON && !time_horn(panel, bridge, who)) {
        say(request, false, "no memory");
        return;
    }
    enum bridge_answer answer =
        panel->context.host.ask(panel->context.host.context, who, bridge, &asked);
    if (bridge_answer_is_granted(answer)) {
        granted_words(panel, bridge, kind, answer, words);
        say(request, true, words);
    } else {
        panel->context.host.refused(panel->context.host.context, bridge, &asked,
                                    permission_words(answer));
        say(request, false, permission_words(answer));
    }
}

static void say_late(struct panel *panel, unsigned bridge, enum bridge_request_kind kind,
                     int32_t who, struct evhttp_request *request) {
    static const char why[] = "it came too late, or from a page that is old: look, and ask again";
    const struct bridge_request asked = {.kind = kind};
    refuse(panel, bridge, &asked, who, why);
    say(request, false, why);
}

static bool find_kind(const char *word, enum bridge_request_kind *kind, bool *is_good_late) {
    for (size_t i = 0; word != NULL && i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(known[i].word, word) == 0) {
            *kind = known[i].kind;
            *is_good_late = known[i].is_good_late;
            return true;
        }
    }
    return false;
}

/* What the body of a request says. */
struct wish {
    int bridge; /* -1: none on its bus */
    enum bridge_request_kind kind;
    bool is_in_time;
};

static bool read_wish(const struct panel *panel, const cJSON *body, struct wish *wish) {
    const cJSON *bus = cJSON_GetObjectItemCaseSensitive(body, "bus");
    const char *moment = body_text(body, "moment");
    bool is_good_late = false;
    if (!find_kind(body_text(body, "ask"), &wish->kind, &is_good_late) || !cJSON_IsNumber(bus) ||
        cJSON_GetArraySize(body) != (moment != NULL ? 3 : 2) || (moment == NULL && !is_good_late)) {
        return false;
    }
    wish->bridge = context_bridge_on_bus(&panel->context, bus->valuedouble);
    wish->is_in_time =
        is_good_late || freshness_is_fresh(moment, panel->live.news.start, context_clock_us());
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
            "\"emergency stop\", \"acknowledge\", \"seen clear\", \"power on\", \"power off\" or "
            "\"horn\", \"moment\": of the newest \"alive\"; not needed to stop}");
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
        ask(panel, (unsigned)wish.bridge, wish.kind, who, request);
    } else {
        say_late(panel, (unsigned)wish.bridge, wish.kind, who, request);
    }
}

#include "tools/drawtender/describe/bridge_text.h"

#include "tools/drawtender/describe/json_put.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool bridge_text_word(const char *words, unsigned index, char *word, size_t size) {
    while (words != NULL && *words != '\0') {
        words += strspn(words, " ,");
        size_t length = strcspn(words, " ,");
        if (length > 0 && index-- == 0) {
            snprintf(word, size, "%.*s", (int)length, words);
            return true;
        }
        words += length;
    }
    return false;
}

/* Clients and tablets of this computer alone; whoever wants more reads of it in config/README.md.
 */
static void put_server(cJSON *whole) {
    cJSON *server = json_put_object(whole, "server");
    cJSON *listener = json_put_item(cJSON_AddArrayToObject(server, "listeners"));
    cJSON_AddStringToObject(listener, "address", "127.0.0.1");
    cJSON_AddStringToObject(listener, "may", "administer");
    cJSON *panel = json_put_item(cJSON_AddArrayToObject(server, "panels"));
    cJSON_AddStringToObject(panel, "address", "127.0.0.1");
    cJSON_AddStringToObject(panel, "may", "operate");
}

static void put_switches(cJSON *bridge, const struct answers *answers) {
    if (answers_is(answers, Q_LOCK, "driven") || answers_is(answers, Q_LOCK, "hand")) {
        cJSON *lock = json_put_object(bridge, "lock");
        cJSON_AddBoolToObject(lock, "driven", answers_is(answers, Q_LOCK, "driven"));
    }
    static const struct {
        const char *key;
        enum question_id id;
    } rows[] = {{"locked", Q_LOCKED},
                {"withdrawn", Q_WITHDRAWN},
                {"open", Q_OPEN},
                {"nearly seated", Q_NEARLY_SEATED},
                {"nearly open", Q_NEARLY_OPEN},
                {"overtravel", Q_OVERTRAVEL},
                {"stop circuit", Q_STOP_CIRCUIT}};
    cJSON *contacts = json_put_object(bridge, "contacts");
    cJSON_AddTrueToObject(contacts, "seated");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        json_put_yes(contacts, rows[i].key, answers, rows[i].id);
    }
    json_put_count(contacts, "rails", answers, Q_RAILS);
    cJSON *sensors = json_put_object(bridge, "sensors");
    json_put_yes(sensors, "position", answers, Q_POSITION);
    json_put_yes(sensors, "current", answers, Q_CURRENT);
}

static void put_bridge(cJSON *bridge, const struct answers *answers, bool is_simulated) {
    bool is_wired = !is_simulated && answers_is(answers, Q_WIRED, "yes");
    json_put_answer(bridge, "name", answers, Q_NAME);
    cJSON_AddStringToObject(bridge, "output", is_wired ? "wired" : "simulated");
    if (is_wired) {
        cJSON_AddTrueToObject(bridge, "waits for power");
    }
    bridge_text_lift(bridge, answers);
    bridge_text_drive(bridge, answers);
    put_switches(bridge, answers);
    bridge_text_tracks(bridge, answers);
    if (is_wired) {
        bridge_text_wired(bridge, answers);
    }
}

/* cJSON indents with tabs; the examples in config/ do with two blanks. */
static char *with_blanks(const char *text) {
    size_t tabs = 0;
    for (const char *at = text; *at != '\0'; at++) {
        tabs += *at == '\t';
    }
    char *copy = malloc(strlen(text) + tabs + 2);
    char *to = copy;
    bool is_indent = true;
    for (const char *at = text; copy != NULL && *at != '\0'; at++) {
        bool is_tab = *at == '\t';
        if (is_tab && is_indent) {
            *to++ = ' ';
        }
        *to++ = is_tab ? ' ' : *at;
        is_indent = *at == '\n' || (is_indent && is_tab);
    }
    if (copy != NULL) {
        *to++ = '\n';
        *to = '\0';
    }
    return copy;
}

char *bridge_text(const struct answers *answers, bool is_simulated) {
    cJSON *whole = cJSON_CreateObject();
    put_server(whole);
    put_bridge(json_put_item(cJSON_AddArrayToObject(whole, "bridges")), answers, is_simulated);
    char *printed = cJSON_Print(whole);
    cJSON_Delete(whole);
    char *text = printed != NULL ? with_blanks(printed) : NULL;
    cJSON_free(printed);
    return text;
}

/* Tracks, their ends and their trains. */
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/json_put.h"
#include "tools/drawtender/describe/worked_out.h"

enum { NAME_SIZE = 48 };

static void put_ends(cJSON *track, const struct answers *answers) {
    char name[NAME_SIZE];
    cJSON *ends = cJSON_AddArrayToObject(track, "ends");
    for (unsigned i = 0; bridge_text_word(answers_value(answers, Q_ENDS), i, name, sizeof name);
         i++) {
        cJSON *end = json_put_item(ends);
        cJSON_AddStringToObject(end, "name", name);
        json_put_answer(end, "approach length", answers, Q_APPROACH);
        json_put_answer(end, "stop length", answers, Q_STOP_SECTION);
        json_put_yes(end, "approach detector", answers, Q_APPROACH_DETECTOR);
        json_put_yes(end, "stop detector", answers, Q_STOP_DETECTOR);
        json_put_yes(end, "signal proof", answers, Q_SIGNAL_PROOF);
        json_put_yes(end, "power proof", answers, Q_POWER_PROOF);
    }
}

static void put_trains(cJSON *track, const struct answers *answers) {
    enum question_id way = answers_is(answers, Q_BRAKING, "roll") ? Q_ROLL : Q_BRAKING;
    cJSON *trains = json_put_object(track, "trains");
    json_put_answer(trains, "speed", answers, Q_TRAIN_SPEED);
    json_put_value(trains, "braking", worked_out_slowing_m_s2(answers, way), "m/s2");
    json_put_value(trains, "coasting", worked_out_slowing_m_s2(answers, Q_ROLL), "m/s2");
    json_put_answer(trains, "pickup", answers, Q_PICKUP);
    json_put_answer(trains, "length", answers, Q_TRAIN_LENGTH);
    json_put_answer(trains, "slowest", answers, Q_SLOWEST);
}

void bridge_text_tracks(cJSON *bridge, const struct answers *answers) {
    char name[NAME_SIZE];
    cJSON *tracks = cJSON_AddArrayToObject(bridge, "tracks");
    for (unsigned i = 0; bridge_text_word(answers_value(answers, Q_TRACKS), i, name, sizeof name);
         i++) {
        cJSON *track = json_put_item(tracks);
        cJSON_AddStringToObject(track, "name", name);
        json_put_answer(track, "span length", answers, Q_SPAN_TRACK);
        json_put_yes(track, "span detector", answers, Q_SPAN_DETECTOR);
        json_put_yes(track, "span power proof", answers, Q_POWER_PROOF);
        put_trains(track, answers);
        put_ends(track, answers);
    }
}

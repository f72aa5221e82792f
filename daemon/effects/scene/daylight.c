#include "effects/scene/daylight.h"

/* Minutes since `from`, past midnight, too. */
static unsigned since(unsigned from, unsigned minute) {
    return (minute + SCENE_DAY_MINUTES - from) % SCENE_DAY_MINUTES;
}

double daylight_night(const struct scene_setup *setup, unsigned minute) {
    unsigned day = since(setup->dawn, minute), night = since(setup->dusk, minute);
    bool is_after_dusk = night < day;
    unsigned into = is_after_dusk ? night : day;
    double share = into < setup->twilight ? (double)into / setup->twilight : 1;
    return is_after_dusk ? share : 1 - share;
}

/* What a bridge lets be heard. */
#include "config/build/build.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* As usual for each kind, in the order of enum sound_kind. */
static const struct usual {
    enum condition when;
    bool is_once;
    double rest_pitch;
    uint32_t fade_in_us, fade_out_us;
} usuals[SOUND_KINDS] = {
#define USUAL(id, word, when, is_once, rest_pitch, fade_in_us, fade_out_us)                        \
    {when, is_once, rest_pitch, fade_in_us, fade_out_us},
    SOUND_KIND_LIST(USUAL)
#undef USUAL
};

static struct sound_voice usual_voice(enum sound_kind kind) {
    const struct usual *usual = &usuals[kind];
    return (struct sound_voice){.kind = kind,
                                .when = {UINT32_C(1) << usual->when, 0},
                                .is_once = usual->is_once,
                                .volume = 1,
                                .rest_pitch = usual->rest_pitch,
                                .fade_in_us = usual->fade_in_us,
                                .fade_out_us = usual->fade_out_us};
}

static void set_usual(struct sound_setup *sound) {
    static const struct {
        enum sound_kind kind;
        double volume;
    } heard[] = {{SOUND_HORN, 1}, {SOUND_MOTOR, 0.5}, {SOUND_GEARS, 0.3}, {SOUND_SEATING, 1}};
    sound->voices = sizeof heard / sizeof heard[0];
    for (unsigned i = 0; i < sound->voices; i++) {
        sound->voice[i] = usual_voice(heard[i].kind);
        sound->voice[i].volume = heard[i].volume;
    }
}

static void set_voice(const struct build *build, unsigned i, struct sound_voice *voice) {
    const struct written_voice *written = &build->written->sound.voices.item[i];
    if (written->kind < 0) {
        return; /* complained of already */
    }
    *voice = usual_voice((enum sound_kind)written->kind);
    if (written->when[0] != '\0') {
        build_condition(build, build_place("/sound/voices/%u/when", i).text, written->when,
                        &voice->when);
    }
    if (written->file[0] != '\0' && written->file[0] != '/') {
        build_error(build, build_place("/sound/voices/%u/file", i).text,
                    "wanted a whole path, which begins with \"/\"");
    }
    memcpy(voice->file, written->file, sizeof voice->file);
    voice->is_once = written->plays >= 0 ? written->plays == 1 : voice->is_once;
    voice->is_looped = written->is_looped && !voice->is_once;
    voice->volume = written->volume;
    voice->rest_pitch = isnan(written->rest_pitch) ? voice->rest_pitch : written->rest_pitch;
    voice->fade_in_us =
        isnan(written->fade_in_s) ? voice->fade_in_us : build_us(written->fade_in_s);
    voice->fade_out_us =
        isnan(written->fade_out_s) ? voice->fade_out_us : build_us(written->fade_out_s);
}

/* Whether something but this sound warns: a horn that is wired, or linked. */
static bool has_horn(const struct build *build) {
    const struct written_lines *lines = &build->written->lines;
    const struct written_wired_outputs *outputs = &build->written->wired.outputs;
    bool has = false;
    for (unsigned i = 0; i < lines->list.count; i++) {
        has = has || strcmp(lines->item[i].output, "horn") == 0;
    }
    for (unsigned i = 0; i < outputs->list.count; i++) {
        has = has || strcmp(outputs->item[i].output, "horn") == 0;
    }
    return has;
}

static void set_blasts(const struct build *build, const char *place, const char *written,
                       char blasts[SOUND_BLASTS_SIZE]) {
    if (written[strspn(written, "Ps")] != '\0') {
        build_error(build, place, "wanted blasts such as \"Ps\": P prolonged, s short");
    }
    memcpy(blasts, written, SOUND_BLASTS_SIZE);
}

void build_sound(struct build *build) {
    const struct written_sound *written = &build->written->sound;
    struct sound_setup *sound = &build->bridge->sound;
    bool is_simulated = build->bridge->has_simulation && !build->bridge->has_lines;
    sound->is_there = written->is.is_given;
    sound->volume = written->volume;
    memcpy(sound->device, written->device, sizeof sound->device);
    set_blasts(build, "/sound/opening", written->opening, sound->blasts[HORN_OPENING]);
    set_blasts(build, "/sound/closing", written->closing, sound->blasts[HORN_CLOSING]);
    sound->prolonged_us = build_us(build->written->warning.prolonged_blast_s);
    sound->short_us = build_us(build->written->warning.short_blast_s);
    sound->gap_us = build_us(build->written->warning.gap_s);
    set_usual(sound);
    if (written->voices.list.count > 0) {
        sound->voices = written->voices.list.count;
    }
    for (unsigned i = 0; i < written->voices.list.count; i++) {
        set_voice(build, i, &sound->voice[i]);
    }
    if (sound->is_there && !is_simulated && !has_horn(build)) {
        build_warning(build, "/sound",
                      "no output sounds a horn: the warning before a movement is this sound alone, "
                      "and nothing proves that it was heard");
    }
}

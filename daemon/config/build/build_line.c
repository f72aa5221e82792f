/* Lines of a bridge by the names in its configuration. */
#include "base/text/near.h"
#include "config/build/build.h"

struct names {
    struct line_track track[BRIDGE_TRACKS_MAX];
};

typedef void name_of(const struct line_track *tracks, unsigned number, char name[LINE_NAME_SIZE]);

static uint64_t bit(unsigned number) {
    return UINT64_C(1) << number;
}

static struct names names_of(const struct build *build) {
    const struct written_tracks *tracks = &build->written->tracks;
    struct names names = {.track = {{.name = ""}}};
    for (unsigned t = 0; t < tracks->list.count; t++) {
        names.track[t] = (struct line_track){
            tracks->item[t].name,
            {tracks->item[t].ends.item[0].name, tracks->item[t].ends.item[1].name}};
    }
    return names;
}

static bool is_called(const char *name, const char *written) {
    while (*name != '\0' && (*name == *written || (*name == ' ' && *written == '-'))) {
        name++;
        written++;
    }
    return *name == *written;
}

static bool find_line(const struct build *build, const char *place, const char *written,
                      name_of *name_line, uint64_t there, unsigned *number) {
    struct names names = names_of(build);
    char name[64][LINE_NAME_SIZE]; /* all of them: the nearest one is kept by its place */
    struct near near = near_begin(written);
    for (unsigned i = 0; i < 64; i++) {
        if ((there & bit(i)) == 0) {
            continue;
        }
        name_line(names.track, i, name[i]);
        if (is_called(name[i], written)) {
            *number = i;
            return true;
        }
        near_offer(&near, name[i]);
    }
    if (near.best != NULL) {
        return build_error(build, place,
                           "this bridge has no line \"%.60s\" (did you mean \"%.60s\"?)", written,
                           near.best);
    }
    return build_error(build, place,
                       "this bridge has no line \"%.60s\"; contacts, sensors and tracks say what "
                       "it has",
                       written);
}

bool build_find_input(const struct build *build, const char *place, const char *written,
                      unsigned *number) {
    return find_line(build, place, written, lines_input_name,
                     lines_there(&build->net->setup).inputs, number);
}

bool build_find_output(const struct build *build, const char *place, const char *written,
                       unsigned *number) {
    return find_line(build, place, written, lines_output_name,
                     lines_there(&build->net->setup).outputs, number);
}

bool build_may_be(unsigned output, enum line_when when) {
    switch (when) {
    case LINE_WHEN_ON:
        return output != LINE_LIFT && output != LINE_LOCK && output != LINE_RIVER;
    case LINE_WHEN_RAISE:
    case LINE_WHEN_LOWER:
        return output == LINE_LIFT;
    case LINE_WHEN_DRIVEN:
    case LINE_WHEN_WITHDRAWN:
        return output == LINE_LOCK;
    case LINE_WHEN_RED:
    case LINE_WHEN_FLASHING:
    case LINE_WHEN_GREEN:
        return output == LINE_RIVER;
    }
    return false;
}

static void complain_of(const struct build *build, const char *place, uint64_t missing,
                        name_of *name_line, const char *kind) {
    struct names names = names_of(build);
    for (unsigned i = 0; i < 64; i++) {
        if ((missing & bit(i)) != 0) {
            char name[LINE_NAME_SIZE];
            name_line(names.track, i, name);
            build_error(build, place, "the %s \"%s\" is not assigned", kind, name);
            return; /* one is enough: there may be dozens */
        }
    }
}

void build_complain_of_missing(const struct build *build, const char *place,
                               struct line_set lines) {
    complain_of(build, place, lines.inputs, lines_input_name, "input");
    complain_of(build, place, lines.outputs, lines_output_name, "output");
}

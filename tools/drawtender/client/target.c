#include "tools/drawtender/client/target.h"

#include <string.h>

static const char *const phases[] = {"lined", "open", "held", "fault"};

static bool take(const char *word, int32_t least, int32_t *number, struct error *error) {
    int32_t found;
    if (!srcp_text_number(srcp_text_of(word), &found) || found < least) {
        return error_set(error, "", "'%.40s' is not a whole number from %d up", word, (int)least);
    }
    *number = found;
    return true;
}

static bool parse_device(size_t words, const char *const word[], struct target *target,
                         struct error *error) {
    bool is_ga = target->group == SRCP_GA;
    size_t least = is_ga ? 3 : 2;
    if (words < least || words > least + 1) {
        return error_set(error, "", "wanted FB ADDRESS [VALUE] or GA ADDRESS PORT [VALUE]");
    }
    int32_t port = 0;
    target->value = 1;
    if (!take(word[1], 1, &target->address, error) || (is_ga && !take(word[2], 0, &port, error)) ||
        (words > least && !take(word[least], 0, &target->value, error))) {
        return false;
    }
    target->port = (unsigned)port;
    return true;
}

bool target_parse(size_t words, const char *const word[], struct target *target,
                  struct error *error) {
    *target = (struct target){0};
    for (size_t i = 0; words == 1 && i < sizeof phases / sizeof phases[0]; i++) {
        if (strcmp(word[0], phases[i]) == 0) {
            target->phase = phases[i];
            return true;
        }
    }
    if (!srcp_group_named(srcp_text_of(word[0]), &target->group) ||
        (target->group != SRCP_GA && target->group != SRCP_FB)) {
        return error_set(error, "", "'%.40s': wanted lined, open, held, fault, FB or GA", word[0]);
    }
    return parse_device(words, word, target, error);
}

static const struct picture_device *device_of(const struct target *target,
                                              const struct picture *picture) {
    return picture_find(picture, target->group, target->address);
}

bool target_exists(const struct target *target, const struct picture *picture) {
    const struct picture_device *device = device_of(target, picture);
    return target->phase != NULL ||
           (device != NULL && target->port < PICTURE_PORTS_MAX && device->is_known[target->port]);
}

bool target_is_reached(const struct target *target, const struct picture *picture) {
    if (target->phase != NULL) {
        return picture_is_phase(picture, target->phase);
    }
    const struct picture_device *device = device_of(target, picture);
    return device != NULL && target_exists(target, picture) &&
           device->value[target->port] == target->value;
}

bool target_is_barred(const struct target *target, const struct picture *picture) {
    return target->phase != NULL && !target_is_reached(target, picture) &&
           picture_is_faulted(picture);
}

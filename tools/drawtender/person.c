#include "tools/drawtender/person.h"

#include <errno.h>
#include <poll.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

static struct termios as_found;
static bool is_changed;

void person_begin(struct person *person, int in, FILE *out, int interrupt,
                  struct bridge_link *link) {
    *person = (struct person){.in = in, .out = out, .interrupt = interrupt, .link = link};
    for (size_t i = 0; i < PICTURE_DEVICES_MAX; i++) {
        person->shown[i] = -1;
    }
}

/* ---- readings */

/* What 1 and 0 of a raw reading mean, by the first word of its label; NULL: no raw reading. */
static const char *const *meaning(const char *label) {
    static const struct {
        const char *word;
        const char *const values[2];
    } rows[] = {
        {"contact ", {"open", "made"}},       {"approach ", {"clear", "occupied"}},
        {"stop ", {"clear", "occupied"}},     {"span ", {"clear", "occupied"}},
        {"standing ", {"no train", "train"}}, {"at-stop ", {"not proved", "proved"}},
        {"dead-stop ", {"live", "dead"}},     {"dead-span ", {"live", "dead"}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strncmp(label, rows[i].word, strlen(rows[i].word)) == 0) {
            return rows[i].values;
        }
    }
    return NULL;
}

void person_show_readings(struct person *person, bool is_all) {
    const struct picture *picture = &person->link->picture;
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        const char *const *values = device->group == SRCP_FB ? meaning(device->label) : NULL;
        int32_t value = picture_value(device, 0, -1);
        if (values == NULL || value < 0 || value > 1 || (!is_all && person->shown[i] == value)) {
            continue;
        }
        person->shown[i] = value;
        fprintf(person->out, "    %-24s %s\n", device->label, values[value]);
    }
    fflush(person->out);
}

/* ---- keys and lines */

static void leave(struct person *person) {
    person->has_left = true;
}

/* Waits for input, and follows the bridge meanwhile. */
static void await(struct person *person) {
    struct pollfd polled[] = {{.fd = person->in, .events = POLLIN},
                              {.fd = person->interrupt, .events = POLLIN},
                              {.fd = person->link->info.socket, .events = POLLIN}};
    if (poll(polled, 3, -1) < 0) {
        person->has_left = person->has_left || errno != EINTR;
        return;
    }
    if (polled[1].revents != 0) {
        person->is_interrupted = true;
        leave(person);
        return;
    }
    if (polled[2].revents != 0) {
        struct error error;
        if (bridge_link_catch_up(person->link, &error) != OUTCOME_DONE) {
            person->is_lost = true;
            leave(person);
            return;
        }
        person_show_readings(person, false);
    }
    if (polled[0].revents != 0) {
        ssize_t got = read(person->in, person->held, sizeof person->held);
        person->taken = 0;
        person->filled = got > 0 ? (size_t)got : 0;
        person->has_left = got == 0 || (got < 0 && errno != EINTR && errno != EAGAIN);
    }
}

int person_key(struct person *person) {
    while (!person->has_left && person->taken == person->filled) {
        await(person);
    }
    return person->has_left ? PERSON_LEFT : (unsigned char)person->held[person->taken++];
}

bool person_line(struct person *person, const char *question, char line[PERSON_LINE_SIZE]) {
    fprintf(person->out, "%s ", question);
    fflush(person->out);
    size_t length = 0;
    int key;
    while ((key = person_key(person)) != '\n') {
        if (key == PERSON_LEFT) {
            return false;
        }
        if (key != '\r' && length + 1 < PERSON_LINE_SIZE) {
            line[length++] = (char)key;
        }
    }
    line[length] = '\0';
    if (strcmp(line, "q") == 0 || strcmp(line, "quit") == 0) {
        leave(person);
    }
    return !person->has_left;
}

bool person_enter(struct person *person, const char *question) {
    char line[PERSON_LINE_SIZE];
    return person_line(person, question, line);
}

bool person_yes(struct person *person, const char *question, bool *is_yes) {
    char line[PERSON_LINE_SIZE];
    for (;;) {
        if (!person_line(person, question, line)) {
            return false;
        }
        *is_yes = strcmp(line, "y") == 0 || strcmp(line, "yes") == 0;
        if (*is_yes || strcmp(line, "n") == 0 || strcmp(line, "no") == 0) {
            return true;
        }
        fprintf(person->out, "Please answer yes or no, or q to leave.\n");
    }
}

void person_keys_begin(struct person *person) {
    is_changed = isatty(person->in) != 0 && tcgetattr(person->in, &as_found) == 0;
    if (is_changed) {
        struct termios keys = as_found;
        keys.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
        tcsetattr(person->in, TCSANOW, &keys);
    }
}

void person_keys_end(struct person *person) {
    if (is_changed) {
        tcsetattr(person->in, TCSAFLUSH, &as_found);
        is_changed = false;
    }
}

#include "tools/drawtender/commission/person.h"

#include "tools/drawtender/base/keyboard.h"

#include <ctype.h>
#include <errno.h>
#include <poll.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

enum { CTRL_D = 4 };

/* ---- the terminal */

static void take_keys(struct person *person) {
    if (person->is_terminal && !person->is_keyed) {
        person->is_keyed = keyboard_give_keys(person->in, &person->as_found);
    }
}

/* `how` as of tcsetattr(3). */
static void take_lines(struct person *person, int how) {
    if (person->is_keyed) {
        tcsetattr(person->in, how, &person->as_found);
        person->is_keyed = false;
    }
}

/* At once, for what follows may take seconds, and a second Ctrl-C ends the program. */
static void leave(struct person *person) {
    person->has_left = true;
    take_lines(person, TCSANOW);
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

static void print_question(const struct person *person) {
    fprintf(person->out, "%s ", person->asked);
}

void person_show_readings(struct person *person, bool is_all) {
    const struct picture *picture = &person->link->picture;
    bool has_shown = false;
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        const char *const *values = device->group == SRCP_FB ? meaning(device->label) : NULL;
        int32_t value = picture_value(device, 0, -1);
        if (values == NULL || value < 0 || value > 1 || (!is_all && person->shown[i] == value)) {
            continue;
        }
        if (!has_shown && person->asked != NULL) {
            fputc('\n', person->out); /* not behind the question */
        }
        has_shown = true;
        person->shown[i] = value;
        fprintf(person->out, "    %-24s %s\n", device->label, values[value]);
    }
    if (has_shown && person->asked != NULL) {
        print_question(person);
    }
    fflush(person->out);
}

void person_begin(struct person *person, int in, FILE *out, int interrupt,
                  struct bridge_link *link) {
    *person = (struct person){.in = in, .out = out, .interrupt = interrupt, .link = link};
    for (size_t i = 0; i < link->picture.devices; i++) {
        person->shown[i] = picture_value(&link->picture.device[i], 0, -1);
    }
    person->is_terminal = keyboard_find(in, &person->as_found);
    take_keys(person);
}

void person_end(struct person *person) {
    take_lines(person, TCSANOW);
}

/* ---- what comes in */

/* What there is, or what comes next. */
static void fill(struct person *person) {
    ssize_t got = read(person->in, person->held, sizeof person->held);
    person->taken = 0;
    person->filled = got > 0 ? (size_t)got : 0;
    if (got == 0 || (got < 0 && errno != EINTR && errno != EAGAIN)) {
        leave(person);
    }
}

static bool is_readable(int fd) {
    struct pollfd polled = {.fd = fd, .events = POLLIN};
    return poll(&polled, 1, 0) == 1;
}

/* Whether there is something to take without waiting; then it is held. */
static bool holds_more(struct person *person) {
    if (person->taken == person->filled && !person->has_left && is_readable(person->in)) {
        fill(person);
    }
    return person->taken < person->filled;
}

/* Answers nothing, but may be leaving: no answer has a q in it. */
static void drop(struct person *person, char key) {
    static const char stop[] = "stop";
    int letter = tolower((unsigned char)key);
    person->has_dropped = true;
    if (letter == stop[person->stop_letters]) {
        person->stop_letters++;
    } else {
        person->stop_letters = letter == stop[0];
    }
    if (letter == 'q' || letter == CTRL_D || stop[person->stop_letters] == '\0') {
        leave(person);
    }
}

static void drop_all(struct person *person) {
    while (!person->has_left && holds_more(person)) {
        drop(person, person->held[person->taken++]);
    }
}

static void tell_of_drop(struct person *person, const char *words) {
    if (person->has_dropped && !person->is_told_of_it && !person->has_left) {
        fprintf(person->out, "    (%s)\n", words);
        fflush(person->out);
        person->is_told_of_it = true;
    }
}

/* Before a question: all that was typed until now. */
static bool drop_before(struct person *person) {
    if (!person->is_terminal || person->has_left) {
        return !person->has_left;
    }
    drop_all(person);
    tell_of_drop(person, "anything typed before this line is ignored");
    person->has_dropped = person->is_told_of_it = false;
    person->stop_letters = 0;
    return !person->has_left;
}

int person_watched(const struct person *person) {
    return person->is_terminal ? person->in : -1;
}

bool person_overhear(struct person *person) {
    if (is_readable(person->interrupt)) {
        person->is_interrupted = true;
        leave(person);
    }
    if (person->is_terminal) {
        drop_all(person);
    }
    tell_of_drop(person, "no question is open; q stops");
    return !person->has_left;
}

/* ---- keys and lines */

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
        fill(person);
    }
}

static int next_key(struct person *person) {
    while (!person->has_left && person->taken == person->filled) {
        await(person);
    }
    return person->has_left ? PERSON_LEFT : (unsigned char)person->held[person->taken++];
}

bool person_ask_for_keys(struct person *person, const char *words) {
    if (!drop_before(person)) {
        return false;
    }
    if (person->is_terminal) {
        tcflush(person->in, TCIFLUSH); /* what came since */
    }
    fputs(words, person->out);
    fflush(person->out);
    return true;
}

int person_key(struct person *person) {
    int key = next_key(person);
    if (!person->is_terminal || key == PERSON_LEFT) {
        return key;
    }
    while (holds_more(person) && (unsigned char)person->held[person->taken] == key) {
        person->taken++;
    }
    if (memchr(person->held + person->taken, 'q', person->filled - person->taken) != NULL) {
        leave(person); /* sooner than what was pressed before it */
    }
    return person->has_left ? PERSON_LEFT : key;
}

/* Without its end. */
static void read_line(struct person *person, char line[PERSON_LINE_SIZE]) {
    size_t length = 0;
    int key;
    while ((key = next_key(person)) != '\n' && key != PERSON_LEFT) {
        if (key != '\r' && length + 1 < PERSON_LINE_SIZE) {
            line[length++] = (char)key;
        }
    }
    line[length] = '\0';
}

bool person_line(struct person *person, const char *question, char line[PERSON_LINE_SIZE]) {
    if (!drop_before(person)) {
        return false;
    }
    person_show_readings(person, false);
    take_lines(person, TCSAFLUSH); /* with what came since */
    person->asked = question;
    print_question(person);
    fflush(person->out);
    read_line(person, line);
    person->asked = NULL;
    take_keys(person);
    if (strcasecmp(line, "q") == 0 || strcasecmp(line, "quit") == 0 ||
        strcasecmp(line, "stop") == 0) {
        leave(person);
    }
    return !person->has_left;
}

bool person_enter(struct person *person, const char *question) {
    char line[PERSON_LINE_SIZE];
    while (person_line(person, question, line)) {
        if (line[0] == '\0') {
            return true;
        }
        fprintf(person->out, "Nothing happens: only Enter alone goes on, or q quits.\n");
    }
    return false;
}

bool person_word(struct person *person, const char *question, const char *word) {
    char line[PERSON_LINE_SIZE];
    while (person_line(person, question, line)) {
        if (strcasecmp(line, word) == 0) {
            return true;
        }
        fprintf(person->out, "Nothing moves: type %s to go on, or q to quit.\n", word);
    }
    return false;
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
        fprintf(person->out, "Answer yes or no, or q to quit.\n");
    }
}

#include "tools/drawtender/hand/hand_input.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CTRL_D = 4, ESCAPE = 27, STEP = 50 };

/* ---- keys */

/* Arrows: ESC [ A to D, or ESC O A to D (ECMA-48 and its keypad mode, from memory). */
static int arrow(struct hand_input *input, char key) {
    static const char keys[] = {'A', 'B', 'C', 'D'};
    static const char means[] = {'u', 'd', '+', '-'};
    if (input->escape == 0) {
        input->escape = key == ESCAPE;
        return key == ESCAPE ? 0 : key;
    }
    if (input->escape == 1 && (key == '[' || key == 'O')) {
        input->escape = 2;
        return 0;
    }
    input->escape = 0;
    const char *found = memchr(keys, key, sizeof keys);
    return found != NULL ? means[found - keys] : ' ';
}

static void take_key(struct hand_input *input, struct hand *hand, char byte, uint64_t now_ms) {
    int key = arrow(input, byte);
    if (key == 0) {
        return;
    }
    if (key == 'u' || key == 'd') {
        hand_key(hand, key == 'u' ? 1 : -1, now_ms);
    } else if (key == '+' || key == '-') {
        hand_set(hand, (int)hand->permille + (key == '+' ? STEP : -STEP));
    } else if (key >= '0' && key <= '9') {
        hand_set(hand, key == '0' ? HAND_FULL : (key - '0') * HAND_FULL / 10);
    } else {
        hand_rest(hand);
        input->has_left = key == 'q' || key == CTRL_D;
    }
}

/* ---- lines */

/* "40", "40%", "7.5": of 100. Returns thousandths, 0 for what is none. */
static unsigned share(const char *word) {
    char *end = NULL;
    double percent = strtod(word, &end);
    bool is_number = end != word && (*end == '\0' || strcmp(end, "%") == 0);
    bool is_in_range = percent >= HAND_LEAST / 10.0 && percent <= HAND_FULL / 10.0;
    return is_number && is_in_range ? (unsigned)(percent * 10 + 0.5) : 0;
}

static bool take_line(struct hand_input *input, struct hand *hand, uint64_t now_ms,
                      struct error *error) {
    char words[3][HAND_LINE_SIZE];
    int count = sscanf(input->line, "%63s %63s %63s", words[0], words[1], words[2]);
    if (count <= 0 || words[0][0] == '#') {
        return true;
    }
    bool is_up = strcmp(words[0], "up") == 0;
    unsigned permille = count == 2 ? share(words[1]) : 0;
    if ((is_up || strcmp(words[0], "down") == 0) && permille > 0) {
        hand_line(hand, is_up ? 1 : -1, permille, now_ms);
        return true;
    }
    hand_rest(hand);
    input->has_left = count == 1 && strcmp(words[0], "quit") == 0;
    if (input->has_left || (count == 1 && strcmp(words[0], "rest") == 0)) {
        return true;
    }
    return error_set(error, "",
                     "line '%.40s': wanted up or down and 5 to 100 percent, rest or quit",
                     input->line);
}

static bool take_byte(struct hand_input *input, struct hand *hand, char byte, uint64_t now_ms,
                      struct error *error) {
    if (byte != '\n') {
        bool has_room = input->filled + 1 < HAND_LINE_SIZE;
        input->line[input->filled] = byte == '\r' ? '\0' : byte;
        input->filled += has_room; /* one that is too long is wrong anyway */
        return true;
    }
    input->line[input->filled] = '\0';
    input->filled = 0;
    return take_line(input, hand, now_ms, error);
}

bool hand_input_take(struct hand_input *input, struct hand *hand, const char *bytes, size_t length,
                     uint64_t now_ms, struct error *error) {
    for (size_t i = 0; i < length && !input->has_left; i++) {
        if (!input->is_line) {
            take_key(input, hand, bytes[i], now_ms);
        } else if (!take_byte(input, hand, bytes[i], now_ms, error)) {
            return false;
        }
    }
    return true;
}

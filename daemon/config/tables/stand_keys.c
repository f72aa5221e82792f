#include "config/tables/stand_keys.h"

#include "base/text/near.h"

#include <linux/input-event-codes.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* Keys and buttons that a stand may be made of; any other has its number. */
/* clang-format off */
#define KEY_ROWS(ROW) \
    ROW(KEY_A) ROW(KEY_B) ROW(KEY_C) ROW(KEY_D) ROW(KEY_E) ROW(KEY_F) ROW(KEY_G) ROW(KEY_H) \
    ROW(KEY_I) ROW(KEY_J) ROW(KEY_K) ROW(KEY_L) ROW(KEY_M) ROW(KEY_N) ROW(KEY_O) ROW(KEY_P) \
    ROW(KEY_Q) ROW(KEY_R) ROW(KEY_S) ROW(KEY_T) ROW(KEY_U) ROW(KEY_V) ROW(KEY_W) ROW(KEY_X) \
    ROW(KEY_Y) ROW(KEY_Z) ROW(KEY_0) ROW(KEY_1) ROW(KEY_2) ROW(KEY_3) ROW(KEY_4) ROW(KEY_5) \
    ROW(KEY_6) ROW(KEY_7) ROW(KEY_8) ROW(KEY_9) ROW(KEY_F1) ROW(KEY_F2) ROW(KEY_F3) ROW(KEY_F4) \
    ROW(KEY_F5) ROW(KEY_F6) ROW(KEY_F7) ROW(KEY_F8) ROW(KEY_F9) ROW(KEY_F10) ROW(KEY_F11) \
    ROW(KEY_F12) ROW(KEY_F13) ROW(KEY_F14) ROW(KEY_F15) ROW(KEY_F16) ROW(KEY_F17) ROW(KEY_F18) \
    ROW(KEY_F19) ROW(KEY_F20) ROW(KEY_F21) ROW(KEY_F22) ROW(KEY_F23) ROW(KEY_F24) ROW(KEY_ESC) \
    ROW(KEY_MINUS) ROW(KEY_EQUAL) ROW(KEY_BACKSPACE) ROW(KEY_TAB) ROW(KEY_LEFTBRACE) \
    ROW(KEY_RIGHTBRACE) ROW(KEY_ENTER) ROW(KEY_LEFTCTRL) ROW(KEY_SEMICOLON) ROW(KEY_APOSTROPHE) \
    ROW(KEY_GRAVE) ROW(KEY_LEFTSHIFT) ROW(KEY_BACKSLASH) ROW(KEY_COMMA) ROW(KEY_DOT) \
    ROW(KEY_SLASH) ROW(KEY_RIGHTSHIFT) ROW(KEY_KPASTERISK) ROW(KEY_LEFTALT) ROW(KEY_SPACE) \
    ROW(KEY_CAPSLOCK) ROW(KEY_NUMLOCK) ROW(KEY_SCROLLLOCK) ROW(KEY_KP0) ROW(KEY_KP1) \
    ROW(KEY_KP2) ROW(KEY_KP3) ROW(KEY_KP4) ROW(KEY_KP5) ROW(KEY_KP6) ROW(KEY_KP7) ROW(KEY_KP8) \
    ROW(KEY_KP9) ROW(KEY_KPMINUS) ROW(KEY_KPPLUS) ROW(KEY_KPDOT) ROW(KEY_KPENTER) \
    ROW(KEY_KPSLASH) ROW(KEY_RIGHTCTRL) ROW(KEY_RIGHTALT) ROW(KEY_HOME) ROW(KEY_UP) \
    ROW(KEY_PAGEUP) ROW(KEY_LEFT) ROW(KEY_RIGHT) ROW(KEY_END) ROW(KEY_DOWN) ROW(KEY_PAGEDOWN) \
    ROW(KEY_INSERT) ROW(KEY_DELETE) ROW(KEY_PAUSE) ROW(KEY_MUTE) ROW(KEY_VOLUMEDOWN) \
    ROW(KEY_VOLUMEUP) ROW(KEY_STOP) ROW(KEY_PLAYPAUSE) ROW(KEY_NEXTSONG) ROW(KEY_PREVIOUSSONG) \
    ROW(BTN_0) ROW(BTN_1) ROW(BTN_2) ROW(BTN_3) ROW(BTN_4) ROW(BTN_5) ROW(BTN_6) ROW(BTN_7) \
    ROW(BTN_8) ROW(BTN_9) ROW(BTN_LEFT) ROW(BTN_RIGHT) ROW(BTN_MIDDLE) ROW(BTN_TRIGGER) \
    ROW(BTN_THUMB) ROW(BTN_THUMB2) ROW(BTN_TOP) ROW(BTN_TOP2) ROW(BTN_PINKIE) ROW(BTN_BASE) \
    ROW(BTN_BASE2) ROW(BTN_BASE3) ROW(BTN_BASE4) ROW(BTN_BASE5) ROW(BTN_BASE6) ROW(BTN_SOUTH) \
    ROW(BTN_EAST) ROW(BTN_NORTH) ROW(BTN_WEST) ROW(BTN_TL) ROW(BTN_TR) ROW(BTN_TL2) ROW(BTN_TR2) \
    ROW(BTN_SELECT) ROW(BTN_START) ROW(BTN_THUMBL) ROW(BTN_THUMBR) ROW(BTN_TRIGGER_HAPPY1) \
    ROW(BTN_TRIGGER_HAPPY2) ROW(BTN_TRIGGER_HAPPY3) ROW(BTN_TRIGGER_HAPPY4) \
    ROW(BTN_TRIGGER_HAPPY5) ROW(BTN_TRIGGER_HAPPY6) ROW(BTN_TRIGGER_HAPPY7) \
    ROW(BTN_TRIGGER_HAPPY8) ROW(BTN_TRIGGER_HAPPY9) ROW(BTN_TRIGGER_HAPPY10) \
    ROW(BTN_TRIGGER_HAPPY11) ROW(BTN_TRIGGER_HAPPY12) ROW(BTN_TRIGGER_HAPPY13) \
    ROW(BTN_TRIGGER_HAPPY14) ROW(BTN_TRIGGER_HAPPY15) ROW(BTN_TRIGGER_HAPPY16) \
    ROW(BTN_TRIGGER_HAPPY17) ROW(BTN_TRIGGER_HAPPY18) ROW(BTN_TRIGGER_HAPPY19) \
    ROW(BTN_TRIGGER_HAPPY20) ROW(BTN_TRIGGER_HAPPY21) ROW(BTN_TRIGGER_HAPPY22) \
    ROW(BTN_TRIGGER_HAPPY23) ROW(BTN_TRIGGER_HAPPY24) ROW(BTN_TRIGGER_HAPPY25) \
    ROW(BTN_TRIGGER_HAPPY26) ROW(BTN_TRIGGER_HAPPY27) ROW(BTN_TRIGGER_HAPPY28) \
    ROW(BTN_TRIGGER_HAPPY29) ROW(BTN_TRIGGER_HAPPY30) ROW(BTN_TRIGGER_HAPPY31) \
    ROW(BTN_TRIGGER_HAPPY32) ROW(BTN_TRIGGER_HAPPY33) ROW(BTN_TRIGGER_HAPPY34) \
    ROW(BTN_TRIGGER_HAPPY35) ROW(BTN_TRIGGER_HAPPY36) ROW(BTN_TRIGGER_HAPPY37) \
    ROW(BTN_TRIGGER_HAPPY38) ROW(BTN_TRIGGER_HAPPY39) ROW(BTN_TRIGGER_HAPPY40)
/* clang-format on */

#define ROW_OF(key) {#key, key},
static const struct {
    const char *name;
    unsigned code;
} keys[] = {KEY_ROWS(ROW_OF)};

static bool read_number(const char *text, unsigned *code) {
    char *end;
    unsigned long number = strtoul(text, &end, 10);
    *code = (unsigned)number;
    return text[0] >= '0' && text[0] <= '9' && *end == '\0' && number > 0 && number <= KEY_MAX;
}

bool stand_key_find(const char *name, unsigned *code, const char **meant) {
    struct near near = near_begin(name);
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (strcmp(keys[i].name, name) == 0) {
            *code = keys[i].code;
            return true;
        }
        near_offer(&near, keys[i].name);
    }
    *meant = near.best;
    return read_number(name, code);
}

const char *stand_key_name(unsigned code) {
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (keys[i].code == code) {
            return keys[i].name;
        }
    }
    return NULL;
}

/* ---- axes: of a joystick first, then of an encoder */

#define AXIS_ROWS(ROW)                                                                             \
    ROW("x", ABS_X)                                                                                \
    ROW("y", ABS_Y)                                                                                \
    ROW("z", ABS_Z)                                                                                \
    ROW("rx", ABS_RX)                                                                              \
    ROW("ry", ABS_RY)                                                                              \
    ROW("rz", ABS_RZ)                                                                              \
    ROW("throttle", ABS_THROTTLE)                                                                  \
    ROW("dial", REL_DIAL)                                                                          \
    ROW("wheel", REL_WHEEL)                                                                        \
    ROW("step x", REL_X)                                                                           \
    ROW("step y", REL_Y)

#define AXIS_WORD(word, code) word,
#define AXIS_CODE(word, code) code,
const char *const stand_axis_words[] = {AXIS_ROWS(AXIS_WORD) NULL};
static const unsigned axis_codes[] = {AXIS_ROWS(AXIS_CODE)};

enum { FIRST_RELATIVE = 7 };

bool stand_axis_is_relative(int word) {
    return word >= FIRST_RELATIVE;
}

unsigned stand_axis_code(int word) {
    return axis_codes[word];
}

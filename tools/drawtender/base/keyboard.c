#include "tools/drawtender/base/keyboard.h"

#include <unistd.h>

bool keyboard_find(int in, struct termios *as_found) {
    return isatty(in) != 0 && tcgetattr(in, as_found) == 0;
}

bool keyboard_give_keys(int in, const struct termios *settings) {
    struct termios keys = *settings;
    keys.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
    keys.c_cc[VMIN] = 1;
    keys.c_cc[VTIME] = 0;
    return tcsetattr(in, TCSANOW, &keys) == 0;
}

#include "base/say.h"

#include <poll.h>
#include <string.h>
#include <unistd.h>

void say(const char *words) {
    struct pollfd log = {.fd = STDERR_FILENO, .events = POLLOUT};
    if (poll(&log, 1, 0) == 1 && (log.revents & POLLOUT) != 0) {
        (void)!write(STDERR_FILENO, words, strlen(words));
    }
}

#include "io/kernel/notify.h"

#include <errno.h>
#include <stddef.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

bool notify_send(const char *address, const char *text, struct error *error) {
    if (address == NULL) {
        return true;
    }
    struct sockaddr_un to = {.sun_family = AF_UNIX};
    size_t length = strlen(address);
    if (length < 2 || length >= sizeof to.sun_path) {
        return error_set(error, "NOTIFY_SOCKET", "is not a socket address");
    }
    memcpy(to.sun_path, address, length);
    if (address[0] == '@') {
        to.sun_path[0] = '\0';
    }
    int fd = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    socklen_t size = (socklen_t)(offsetof(struct sockaddr_un, sun_path) + length);
    bool is_sent = fd >= 0 && sendto(fd, text, strlen(text), MSG_NOSIGNAL,
                                     (const struct sockaddr *)&to, size) == (ssize_t)strlen(text);
    int number = errno;
    if (fd >= 0) {
        close(fd);
    }
    return is_sent || error_set(error, address, "%s", strerror(number));
}

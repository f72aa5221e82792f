#include "support/net/loopback.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stddef.h>
#include <sys/socket.h>

void loopback_bind(int fd, const char *from) {
    struct sockaddr_in address = {.sin_family = AF_INET};
    if (from != NULL) {
        assert_int_equal(inet_pton(AF_INET, from, &address.sin_addr), 1);
        assert_int_equal(bind(fd, (struct sockaddr *)&address, sizeof address), 0);
    }
}

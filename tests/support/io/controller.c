#define _XOPEN_SOURCE 700 /* posix_openpt() */
#include "support/io/controller.h"

#include "support/check.h"

#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* To end a test that hangs. */
enum { HANGS_MS = 400000 };

void controller_plug_in(struct controller *controller) {
    controller->fd = posix_openpt(O_RDWR | O_NOCTTY);
    assert_true(controller->fd >= 0);
    assert_int_equal(grantpt(controller->fd), 0);
    assert_int_equal(unlockpt(controller->fd), 0);
    assert_int_equal(symlink(ptsname(controller->fd), controller->device), 0);
}

void controller_unplug(struct controller *controller) {
    close(controller->fd);
    controller->fd = -1;
    assert_int_equal(unlink(controller->device), 0);
}

void controller_start(struct controller *controller) {
    tree_make(&controller->tree);
    snprintf(controller->device, sizeof controller->device, "%s/line", controller->tree.root);
    controller_plug_in(controller);
}

void controller_stop(struct controller *controller) {
    if (controller->fd >= 0) {
        controller_unplug(controller);
    }
    tree_remove(&controller->tree);
}

const char *controller_hear(struct controller *controller, const char *last) {
    size_t length = 0;
    controller->heard[0] = '\0';
    while (strstr(controller->heard, last) == NULL) {
        struct pollfd wait = {.fd = controller->fd, .events = POLLIN};
        assert_int_equal(poll(&wait, 1, HANGS_MS), 1);
        ssize_t count =
            read(controller->fd, controller->heard + length, sizeof controller->heard - 1 - length);
        assert_true(count > 0);
        length += (size_t)count;
        controller->heard[length] = '\0';
    }
    return controller->heard;
}

bool controller_is_silent(const struct controller *controller) {
    struct pollfd wait = {.fd = controller->fd, .events = POLLIN};
    return poll(&wait, 1, 0) == 0;
}

void controller_say(const struct controller *controller, const char *text) {
    assert_int_equal(write(controller->fd, text, strlen(text)), strlen(text));
}

#include "io/kernel/notify.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

/* A service manager's socket at a path, or in the abstract namespace ("@..."). */
static int listen_at(const char *address) {
    struct sockaddr_un at = {.sun_family = AF_UNIX};
    size_t length = strlen(address);
    memcpy(at.sun_path, address, length);
    at.sun_path[0] = address[0] == '@' ? '\0' : address[0];
    int fd = socket(AF_UNIX, SOCK_DGRAM, 0);
    assert_true(fd >= 0);
    assert_int_equal(bind(fd, (const struct sockaddr *)&at,
                          (socklen_t)(offsetof(struct sockaddr_un, sun_path) + length)),
                     0);
    return fd;
}

static void expect(int fd, const char *text) {
    char heard[64];
    ssize_t length = recv(fd, heard, sizeof heard, MSG_DONTWAIT);
    assert_int_equal(length, strlen(text));
    assert_memory_equal(heard, text, strlen(text));
}

static void text_is_one_datagram(void **state) {
    (void)state;
    struct tree tree;
    struct error error;
    char address[128];
    tree_make(&tree);
    snprintf(address, sizeof address, "%s/notify", tree.root);
    int fd = listen_at(address);
    assert_true(notify_send(address, "READY=1", &error));
    assert_true(notify_send(address, "WATCHDOG=1", &error));
    expect(fd, "READY=1");
    expect(fd, "WATCHDOG=1");
    close(fd);
    tree_remove(&tree);
}

static void abstract_address_is_understood(void **state) {
    (void)state;
    struct error error;
    char address[64];
    snprintf(address, sizeof address, "@drawtender-test-%ld", (long)getpid());
    int fd = listen_at(address);
    assert_true(notify_send(address, "STOPPING=1", &error));
    expect(fd, "STOPPING=1");
    close(fd);
}

static void nobody_to_tell_is_well_and_a_wrong_address_is_said(void **state) {
    (void)state;
    struct error error;
    char lengthy[200];
    memset(lengthy, 'x', sizeof lengthy - 1);
    lengthy[sizeof lengthy - 1] = '\0';
    assert_true(notify_send(NULL, "READY=1", &error));
    assert_false(notify_send("", "READY=1", &error));
    assert_false(notify_send(lengthy, "READY=1", &error));
    assert_false(notify_send("/nowhere/notify", "READY=1", &error));
    assert_string_equal(error.where, "/nowhere/notify");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_one_datagram),
        cmocka_unit_test(abstract_address_is_understood),
        cmocka_unit_test(nobody_to_tell_is_well_and_a_wrong_address_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The end of a link: everything that it commands is switched off, and that it is off is proved as
 * always: by reply, INFO and GET together (link_device.h). */
#include "base/time_limit.h"
#include "io/link/link_state.h"

#include <stdio.h>
#include <string.h>

static struct link_session *commanding(const struct link *link) {
    struct link_session *session = link->session[SRCP_COMMAND_MODE];
    return session != NULL && link_session_is_open(session) ? session : NULL;
}

void link_switch_all_off(struct link *link) {
    struct link_session *session = commanding(link);
    for (unsigned i = 0; session != NULL && i < link->devices; i++) {
        char line[LINK_LINE_SIZE];
        link_device_restart(&link->device[i], link->now_us);
        link_device_set(&link->device[i], line);
        link_session_send(session, line);
        link->offs_awaited++;
    }
    if (session != NULL) {
        link_session_exchange(&session, 1, 0);
    }
}

static bool are_all_off(const struct link *link) {
    for (unsigned i = 0; i < link->devices; i++) {
        if (link->device[i].is_wanted_on || !link_device_is_settled(&link->device[i])) {
            return false;
        }
    }
    return true;
}

bool link_safe(void *port) {
    struct link *link = port;
    link_switch_all_off(link);
    return link->devices == 0;
}

/* Milliseconds, rounded up: no turn before there is something to do. */
static int wait_ms(const struct link *link, uint32_t left_us) {
    uint32_t due_us = link_wake_us(link);
    return (int)(((due_us < left_us ? due_us : left_us) + 999) / 1000);
}

bool link_settle(void *port, uint32_t within_us) {
    struct link *link = port;
    struct time_limit limit = time_limit_in(within_us);
    uint64_t begun_us = link->now_us;
    uint32_t left_us = within_us;
    int wait = 0;
    if (commanding(link) == NULL) {
        return link->devices == 0;
    }
    do {
        link_session_exchange(link->session, SRCP_MODES, wait);
        left_us = time_limit_left_us(&limit);
        link->now_us = begun_us + (within_us - left_us);
        for (unsigned i = 0; i < link->devices; i++) {
            link_device_check(&link->device[i], &link->points, link->setup.obey_us, link->now_us);
        }
        if (link->lost != NULL || are_all_off(link)) {
            break;
        }
        link_turn(link);
        wait = wait_ms(link, left_us);
    } while (left_us > 0);
    return are_all_off(link);
}

/* ---- in a signal handler */

void link_prepare_crash(struct link *link) {
    size_t filled = 0;
    /* The handler may find a line half sent: that one ends here. */
    link->crash_lines[filled++] = '\n';
    for (unsigned i = 0; i < link->devices; i++) {
        char line[LINK_LINE_SIZE];
        link_device_set(&link->device[i], line);
        filled += (size_t)snprintf(link->crash_lines + filled, sizeof link->crash_lines - filled,
                                   "%s\n", line);
    }
    link->crash_length = link->devices > 0 ? filled : 0;
}

void link_crash_safe(void *port) {
    struct link *link = port;
    if (link->session[SRCP_COMMAND_MODE] != NULL && link->crash_length > 0) {
        link_session_crash_send(link->session[SRCP_COMMAND_MODE], link->crash_lines,
                                link->crash_length);
    }
}

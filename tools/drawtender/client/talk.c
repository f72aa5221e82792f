#include "tools/drawtender/client/talk.h"

#include <errno.h>
#include <fcntl.h>
#include <netdb.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* Waits until the socket is ready for `events`. */
static enum talk_event await(const struct talk *talk, short events, struct deadline deadline) {
    struct pollfd polled[] = {{.fd = talk->socket, .events = events},
                              {.fd = talk->interrupt, .events = POLLIN},
                              {.fd = talk->typed, .events = POLLIN}};
    for (;;) {
        int ready = poll(polled, 3, deadline_poll_ms(deadline));
        if (ready < 0 && errno != EINTR) {
            return TALK_LOST;
        }
        if (ready > 0 && (polled[1].revents != 0 || polled[2].revents != 0)) {
            return TALK_INTERRUPTED;
        }
        if (ready > 0) {
            return TALK_ANSWER;
        }
        if (deadline_is_past(deadline)) {
            return TALK_TIMED_OUT;
        }
    }
}

/* Fills the chunk with what has come. A deadline also ends a flood that never lets poll() wait. */
static enum talk_event fill(struct talk *talk, struct deadline deadline) {
    for (;;) {
        if (deadline_is_past(deadline)) {
            return TALK_TIMED_OUT;
        }
        enum talk_event event = await(talk, POLLIN, deadline);
        if (event != TALK_ANSWER) {
            return event;
        }
        ssize_t got = recv(talk->socket, talk->chunk, sizeof talk->chunk, 0);
        if (got > 0) {
            talk->unread = (struct srcp_text){.at = talk->chunk, .length = (size_t)got};
            return TALK_ANSWER;
        }
        if (got == 0 || (errno != EAGAIN && errno != EINTR)) {
            return TALK_LOST;
        }
    }
}

/* One line; TALK_ANSWER here means only that it is text. */
static enum talk_event receive_line(struct talk *talk, struct deadline deadline,
                                    struct srcp_text *line) {
    for (;;) {
        switch (srcp_line_next(&talk->reader, &talk->unread, line)) {
        case SRCP_LINE_TEXT:
            return TALK_ANSWER;
        case SRCP_LINE_BAD:
        case SRCP_LINE_TOO_LONG:
            return TALK_GARBLED;
        case SRCP_LINE_NONE:
            break;
        }
        enum talk_event event = fill(talk, deadline);
        if (event != TALK_ANSWER) {
            return event;
        }
    }
}

enum talk_event talk_receive(struct talk *talk, struct deadline deadline,
                             struct srcp_answer *answer) {
    struct srcp_text line;
    enum talk_event event = receive_line(talk, deadline, &line);
    if (event == TALK_ANSWER && !srcp_answer_parse(line, answer)) {
        return TALK_GARBLED;
    }
    return event;
}

enum talk_event talk_send(struct talk *talk, const char *line, struct deadline deadline) {
    char bytes[SRCP_LINE_MAX + 1];
    int length = snprintf(bytes, sizeof bytes, "%s\n", line);
    if (length < 0 || length > SRCP_LINE_MAX) {
        return TALK_GARBLED;
    }
    size_t sent = 0;
    while (sent < (size_t)length) {
        ssize_t more = send(talk->socket, bytes + sent, (size_t)length - sent, MSG_NOSIGNAL);
        if (more >= 0) {
            sent += (size_t)more;
            continue;
        }
        if (errno != EAGAIN && errno != EINTR) {
            return TALK_LOST;
        }
        enum talk_event event = await(talk, POLLOUT, deadline);
        if (event != TALK_ANSWER) {
            return event;
        }
    }
    return TALK_ANSWER;
}

enum talk_event talk_ask(struct talk *talk, const char *line, struct deadline deadline,
                         struct srcp_answer *reply) {
    enum talk_event event = talk_send(talk, line, deadline);
    return event == TALK_ANSWER ? talk_receive(talk, deadline, reply) : event;
}

const char *talk_event_text(enum talk_event event) {
    switch (event) {
    case TALK_ANSWER:
        return "the server answered";
    case TALK_GARBLED:
        return "the server sent something that is not a line of the protocol";
    case TALK_TIMED_OUT:
        return "the server does not answer";
    case TALK_LOST:
        return "the server closed the connection";
    case TALK_INTERRUPTED:
        return "interrupted";
    }
    return "";
}

/* A socket that connects without blocking; -1 with errno. */
static int start_connecting(const struct addrinfo *address) {
    int made = socket(address->ai_family, address->ai_socktype, address->ai_protocol);
    if (made < 0) {
        return -1;
    }
    fcntl(made, F_SETFD, FD_CLOEXEC);
    fcntl(made, F_SETFL, O_NONBLOCK);
    if (connect(made, address->ai_addr, address->ai_addrlen) != 0 && errno != EINPROGRESS) {
        int saved = errno;
        close(made);
        errno = saved;
        return -1;
    }
    return made;
}

/* Returns TALK_ANSWER once it is connected; else errno says why not. */
static enum talk_event connect_to(struct talk *talk, const struct addrinfo *address,
                                  struct deadline deadline) {
    talk->socket = start_connecting(address);
    if (talk->socket < 0) {
        return TALK_LOST;
    }
    int failure = 0;
    socklen_t size = sizeof failure;
    enum talk_event event = await(talk, POLLOUT, deadline);
    if (event != TALK_ANSWER) {
        failure = ETIMEDOUT;
    } else if (getsockopt(talk->socket, SOL_SOCKET, SO_ERROR, &failure, &size) != 0) {
        failure = errno;
    }
    if (failure == 0) {
        return TALK_ANSWER;
    }
    talk_close(talk);
    errno = failure;
    return event == TALK_INTERRUPTED ? event : TALK_LOST;
}

static enum talk_event connect_any(struct talk *talk, const char *host, uint16_t port,
                                   struct deadline deadline, struct error *error) {
    char service[8];
    snprintf(service, sizeof service, "%u", (unsigned)port);
    const struct addrinfo hints = {.ai_family = AF_UNSPEC, .ai_socktype = SOCK_STREAM};
    struct addrinfo *found = NULL;
    int failure = getaddrinfo(host, service, &hints, &found);
    if (failure != 0) {
        error_set(error, "", "no host '%.60s': %s", host, gai_strerror(failure));
        return TALK_LOST;
    }
    enum talk_event event = TALK_LOST;
    for (struct addrinfo *each = found; each != NULL && event == TALK_LOST; each = each->ai_next) {
        event = connect_to(talk, each, deadline);
    }
    int saved = errno;
    freeaddrinfo(found);
    if (event != TALK_ANSWER) {
        error_set(error, "", "no server at %.60s port %s: %s", host, service,
                  event == TALK_INTERRUPTED ? talk_event_text(event) : strerror(saved));
    }
    return event;
}

/* The welcome line must offer a 0.8 edition: 0.7 had other ports and no handshake (from memory). */
static bool greet(struct talk *talk, struct deadline deadline, struct error *error) {
    struct srcp_text line;
    enum talk_event event = receive_line(talk, deadline, &line);
    if (event != TALK_ANSWER) {
        return error_set(error, "", "no greeting: %s", talk_event_text(event));
    }
    struct srcp_text version = srcp_welcome_value(line, "SRCP");
    if (version.length < 3 || memcmp(version.at, "0.8", 3) != 0) {
        return error_set(error, "", "the server does not announce SRCP 0.8: '%.*s'",
                         (int)(line.length < 100 ? line.length : 100), line.at);
    }
    return true;
}

static bool step(struct talk *talk, const char *line, int32_t wanted, struct deadline deadline,
                 struct srcp_answer *answer, struct error *error) {
    enum talk_event event = talk_ask(talk, line, deadline, answer);
    if (event != TALK_ANSWER) {
        return error_set(error, "", "after '%s': %s", line, talk_event_text(event));
    }
    if (answer->code != wanted) {
        return error_set(error, "", "the server refused '%s': %d %.*s", line, (int)answer->code,
                         (int)(answer->words.length < 80 ? answer->words.length : 80),
                         answer->words.length > 0 ? answer->words.at : "");
    }
    return true;
}

static bool shake_hands(struct talk *talk, enum srcp_mode mode, struct deadline deadline,
                        struct error *error) {
    char chosen[64];
    snprintf(chosen, sizeof chosen, "SET CONNECTIONMODE SRCP %s", srcp_mode_name(mode));
    struct srcp_answer answer;
    if (!greet(talk, deadline, error) ||
        !step(talk, "SET PROTOCOL SRCP 0.8.4", SRCP_PROTOCOL_SET, deadline, &answer, error) ||
        !step(talk, chosen, SRCP_MODE_SET, deadline, &answer, error) ||
        !step(talk, "GO", SRCP_DONE, deadline, &answer, error)) {
        return false;
    }
    talk->session = srcp_answer_session(&answer);
    if (talk->session < 1) {
        return error_set(error, "", "the server sent no session id");
    }
    return true;
}

enum talk_event talk_connect(struct talk *talk, const char *host, uint16_t port, int interrupt,
                             struct deadline deadline, struct error *error) {
    memset(talk, 0, sizeof *talk);
    talk->socket = -1;
    talk->interrupt = interrupt;
    talk->typed = -1;
    return connect_any(talk, host, port, deadline, error);
}

bool talk_open(struct talk *talk, const char *host, uint16_t port, enum srcp_mode mode,
               struct deadline deadline, struct error *error) {
    if (talk_connect(talk, host, port, -1, deadline, error) != TALK_ANSWER) {
        return false;
    }
    if (!shake_hands(talk, mode, deadline, error)) {
        talk_close(talk);
        return false;
    }
    return true;
}

enum talk_event talk_bytes(struct talk *talk, struct deadline deadline, struct srcp_text *bytes) {
    enum talk_event event = fill(talk, deadline);
    if (event == TALK_ANSWER) {
        *bytes = talk->unread;
        talk->unread.length = 0;
    }
    return event;
}

void talk_close(struct talk *talk) {
    if (talk->socket >= 0) {
        close(talk->socket);
        talk->socket = -1;
    }
}

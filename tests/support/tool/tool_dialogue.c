#include "support/tool/tool_dialogue.h"

#include "support/check.h"

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

enum { HANGS_MS = 400000, WORDS_MAX = 16 };

static void run_tool(const char *arguments, uint16_t port, int in, int out) {
    char words[512];
    char number[16];
    char *vector[WORDS_MAX + 4] = {(char *)(uintptr_t) "drawtender"};
    size_t count = 1;
    char *rest = NULL;
    snprintf(words, sizeof words, "%s", arguments);
    snprintf(number, sizeof number, "%u", port);
    for (char *word = strtok_r(words, " ", &rest); word != NULL && count < WORDS_MAX;
         word = strtok_r(NULL, " ", &rest)) {
        vector[count++] = word;
    }
    vector[count++] = (char *)(uintptr_t) "--port";
    vector[count++] = number;
    dup2(in, STDIN_FILENO);
    dup2(out, STDOUT_FILENO);
    dup2(out, STDERR_FILENO);
    execv(BINARY_DIR "/drawtender", vector);
    _exit(127);
}

void tool_dialogue_begin(struct tool_dialogue *dialogue, const char *arguments, uint16_t port) {
    int to[2], from[2];
    memset(dialogue, 0, sizeof *dialogue);
    assert_int_equal(pipe(to), 0);
    assert_int_equal(pipe(from), 0);
    fcntl(to[1], F_SETFD, FD_CLOEXEC);
    fcntl(from[0], F_SETFD, FD_CLOEXEC);
    dialogue->pid = fork();
    assert_true(dialogue->pid >= 0);
    if (dialogue->pid == 0) {
        run_tool(arguments, port, to[0], from[1]);
    }
    close(to[0]);
    close(from[1]);
    dialogue->to = to[1];
    dialogue->from = from[0];
}

/* Lines end as the program ends them. */
static void open_terminal(int *person, int *program) {
    struct termios settings;
    assert_int_equal(openpty(person, program, NULL, NULL, NULL), 0);
    assert_int_equal(tcgetattr(*program, &settings), 0);
    settings.c_oflag &= ~(tcflag_t)OPOST;
    assert_int_equal(tcsetattr(*program, TCSANOW, &settings), 0);
    assert_int_not_equal(fcntl(*person, F_SETFD, FD_CLOEXEC), -1);
}

void tool_dialogue_begin_at_terminal(struct tool_dialogue *dialogue, const char *arguments,
                                     uint16_t port) {
    int person, program;
    memset(dialogue, 0, sizeof *dialogue);
    open_terminal(&person, &program);
    dialogue->pid = fork();
    assert_true(dialogue->pid >= 0);
    if (dialogue->pid == 0) {
        setsid();
        ioctl(program, TIOCSCTTY, 0);
        run_tool(arguments, port, program, program);
    }
    close(program);
    dialogue->to = dialogue->from = person;
}

/* False: it said its last. A terminal that nobody holds any more is an error to read from. */
/* As many as a failure's message can hold. */
static const char *newest_words(const struct tool_dialogue *dialogue) {
    enum { SHOWN = 900 };
    return dialogue->said + (dialogue->filled > SHOWN ? dialogue->filled - SHOWN : 0);
}

static bool listen_on(struct tool_dialogue *dialogue) {
    struct pollfd polled = {.fd = dialogue->from, .events = POLLIN};
    if (poll(&polled, 1, HANGS_MS) != 1) {
        fail_msg("the tool said nothing for minutes; so far:\n%s", newest_words(dialogue));
    }
    assert_true(dialogue->filled + 1 < sizeof dialogue->said);
    ssize_t got = read(dialogue->from, dialogue->said + dialogue->filled,
                       sizeof dialogue->said - 1 - dialogue->filled);
    dialogue->filled += got > 0 ? (size_t)got : 0;
    dialogue->said[dialogue->filled] = '\0';
    return got > 0;
}

size_t tool_dialogue_any(struct tool_dialogue *dialogue, const char *const words[], size_t count) {
    for (;;) {
        const char *first = NULL;
        size_t index = 0;
        for (size_t i = 0; i < count; i++) {
            const char *found = strstr(dialogue->said + dialogue->seen, words[i]);
            if (found != NULL && (first == NULL || found < first)) {
                first = found;
                index = i;
            }
        }
        if (first != NULL) {
            dialogue->seen = (size_t)(first + strlen(words[index]) - dialogue->said);
            return index;
        }
        if (!listen_on(dialogue)) {
            fail_msg("the tool ended without saying \"%s\":\n%s", words[0], newest_words(dialogue));
        }
    }
}

bool tool_dialogue_either(struct tool_dialogue *dialogue, const char *words, const char *others) {
    const char *const both[] = {words, others};
    return tool_dialogue_any(dialogue, both, 2) == 0;
}

void tool_dialogue_expect(struct tool_dialogue *dialogue, const char *words) {
    tool_dialogue_any(dialogue, &words, 1);
}

void tool_dialogue_answer(struct tool_dialogue *dialogue, const char *bytes) {
    size_t length = strlen(bytes);
    assert_int_equal(write(dialogue->to, bytes, length), length);
}

int tool_dialogue_end(struct tool_dialogue *dialogue) {
    int status = 0;
    if (dialogue->to != dialogue->from) {
        close(dialogue->to);
    }
    while (listen_on(dialogue)) {
    }
    close(dialogue->from);
    assert_int_equal(waitpid(dialogue->pid, &status, 0), dialogue->pid);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

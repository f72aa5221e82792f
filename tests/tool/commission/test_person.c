/* Who is asked: at a terminal only what is typed after a question answers it; a pipe is read one
 * line a question. The terminal is the kernel's own; what has been typed there has come before
 * anything is asked, for the test waits until it can be read. */
#include "support/check.h"
#include "tools/drawtender/commission/person.h"

#include <pty.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

static struct bridge_link link_of_none; /* no sessions */
static struct person person;
static int keyboard;     /* what is typed goes in here */
static int screen[2];    /* what is said comes out here */
static pid_t typist_pid; /* types an answer once it sees its question; 0: nobody */
static char said[4096];

static void begin(int in) {
    assert_int_equal(pipe(screen), 0);
    memset(&link_of_none, 0, sizeof link_of_none);
    link_of_none.info.socket = link_of_none.command.socket = -1;
    FILE *out = fdopen(screen[1], "w");
    assert_non_null(out);
    person_begin(&person, in, out, -1, &link_of_none);
}

static int at_a_terminal(void **state) {
    (void)state;
    int in;
    assert_int_equal(openpty(&keyboard, &in, NULL, NULL, NULL), 0);
    begin(in);
    return 0;
}

static int at_a_pipe(void **state) {
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    keyboard = ends[1];
    begin(ends[0]);
    return 0;
}

/* Says no more. Returns whether every question of the typist's has come. */
static bool is_all_asked(void) {
    int status = 0;
    fclose(person.out);
    person.out = NULL;
    waitpid(typist_pid, &status, 0);
    typist_pid = 0;
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static int end(void **state) {
    (void)state;
    person_end(&person);
    if (typist_pid != 0) {
        is_all_asked();
    } else if (person.out != NULL) {
        fclose(person.out);
    }
    close(screen[0]);
    close(person.in);
    close(keyboard);
    return 0;
}

static void type(const char *keys) {
    assert_int_equal(write(keyboard, keys, strlen(keys)), strlen(keys));
}

/* Before anything is asked; it has come when this returns. */
static void type_early(const char *keys) {
    int before;
    int there;
    assert_int_equal(ioctl(person.in, FIONREAD, &before), 0);
    type(keys);
    do {
        assert_int_equal(ioctl(person.in, FIONREAD, &there), 0);
    } while (there < before + (int)strlen(keys));
}

/* Waits until all of these words were said; what was is in `said`. */
static void watch_for(const char *words) {
    size_t filled = strlen(said);
    while (strstr(said, words) == NULL) {
        ssize_t got = read(screen[0], said + filled, sizeof said - 1 - filled);
        if (got <= 0) {
            _exit(1);
        }
        filled += (size_t)got;
        said[filled] = '\0';
    }
}

/* From a process of its own: each answer once its question is there. */
static void answer_when_asked(const char *const questions[][2], size_t count) {
    typist_pid = fork();
    assert_true(typist_pid >= 0);
    if (typist_pid > 0) {
        return;
    }
    close(screen[1]);
    for (size_t i = 0; i < count; i++) {
        said[0] = '\0';
        watch_for(questions[i][0]);
        type(questions[i][1]);
    }
    _exit(0);
}

/* What was said and nobody has read. */
static const char *heard(void) {
    fflush(person.out);
    int there = 0;
    assert_int_equal(ioctl(screen[0], FIONREAD, &there), 0);
    assert_true((size_t)there < sizeof said);
    ssize_t got = there > 0 ? read(screen[0], said, (size_t)there) : 0;
    said[got] = '\0';
    return said;
}

static void early_enters_answer_nothing(void **state) {
    (void)state;
    char line[PERSON_LINE_SIZE] = "?";
    type_early("\n\n\n\n");
    answer_when_asked((const char *const[][2]){{"Down? ", "yes\n"}}, 1);
    assert_true(person_line(&person, "Down?", line));
    assert_string_equal(line, "yes");
}

static void an_early_line_without_its_end_answers_nothing(void **state) {
    (void)state;
    char line[PERSON_LINE_SIZE] = "?";
    type_early("rai");
    answer_when_asked((const char *const[][2]){{"Up? ", "se\n"}}, 1);
    assert_true(person_line(&person, "Up?", line));
    assert_string_equal(line, "se");
}

/* One read gives all of it, so that what follows its first line is held by this program. */
static void what_follows_an_answer_answers_nothing(void **state) {
    (void)state;
    char line[PERSON_LINE_SIZE] = "?";
    answer_when_asked((const char *const[][2]){{"Up? ", "raise\nlower\n\n"}, {"Down? ", "no\n"}},
                      2);
    assert_true(person_line(&person, "Up?", line));
    assert_string_equal(line, "raise");
    int there;
    do { /* the rest has come */
        assert_int_equal(ioctl(person.in, FIONREAD, &there), 0);
    } while (there < (int)strlen("lower\n\n"));
    assert_true(person_line(&person, "Down?", line));
    assert_string_equal(line, "no");
}

static void an_early_q_leaves_and_nothing_is_asked(void **state) {
    (void)state;
    static const char *const cases[] = {"q",    "q\n",   "\n\nq\n", "quit\n", "\nstop\n",
                                        "stop", "uuuuq", "Q\n",     "ststop", "\004"};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char line[PERSON_LINE_SIZE];
        if (i > 0) {
            at_a_terminal(state);
        }
        type_early(cases[i]);
        answer_when_asked((const char *const[][2]){{"Up? ", "yes\n"}}, 1);
        assert_false(person_line(&person, "Up?", line));
        assert_true(person.has_left);
        assert_string_equal(heard(), "");
        if (i + 1 < sizeof cases / sizeof cases[0]) {
            end(state);
        }
    }
}

static void a_word_is_asked_for_until_it_comes(void **state) {
    (void)state;
    answer_when_asked((const char *const[][2]){{"Type raise: ", "\n"},
                                               {"Type raise: ", "yes\n"},
                                               {"Type raise: ", "Raise\n"}},
                      3);
    assert_true(person_word(&person, "Type raise:", "raise"));
    assert_true(is_all_asked());
}

static void quit_and_stop_answer_by_leaving(void **state) {
    (void)state;
    answer_when_asked(
        (const char *const[][2]){{"Type raise: ", "stop\n"}, {"Type raise: ", "raise\n"}}, 2);
    assert_false(person_word(&person, "Type raise:", "raise"));
    assert_true(person.has_left);
}

static void keys_while_nothing_is_asked_are_told_of_once(void **state) {
    (void)state;
    type_early("\n");
    assert_true(person_overhear(&person));
    assert_string_equal(heard(), "    (no question is open; q stops)\n");
    type_early("ab");
    assert_true(person_overhear(&person));
    assert_string_equal(heard(), "");
    assert_true(person_ask_for_keys(&person, "hold u\n"));
    type_early("\n");
    assert_true(person_overhear(&person));
    assert_string_equal(heard(), "hold u\n    (no question is open; q stops)\n");
    type_early("sto");
    assert_true(person_overhear(&person));
    type_early("p"); /* of which the rest came before */
    assert_false(person_overhear(&person));
}

/* As the keyboard repeats it while the program waits for the server. */
static void a_key_that_was_let_go_does_not_go_on(void **state) {
    (void)state;
    assert_true(person_ask_for_keys(&person, "hold u\n"));
    type_early("uuuuuud\n");
    assert_int_equal(person_key(&person), 'u');
    assert_int_equal(person_key(&person), 'd');
    assert_int_equal(person_key(&person), '\n');
    type_early("uuuddq");
    assert_int_equal(person_key(&person), PERSON_LEFT); /* before any of them moves it */
}

static void early_keys_jog_nothing(void **state) {
    (void)state;
    type_early("uu\n");
    assert_true(person_ask_for_keys(&person, "hold u\n"));
    type("d");
    assert_int_equal(person_key(&person), 'd');
}

static void the_terminal_is_left_as_it_was_found(void **state) {
    (void)state;
    struct termios found = person.as_found;
    struct termios left;
    assert_int_equal(tcgetattr(person.in, &left), 0);
    assert_int_equal(left.c_lflag & (tcflag_t)(ICANON | ECHO), 0); /* while nothing is asked */
    person_end(&person);
    assert_int_equal(tcgetattr(person.in, &left), 0);
    assert_int_equal(left.c_lflag, found.c_lflag);
    assert_true((left.c_lflag & (tcflag_t)ICANON) != 0);
}

static void a_pipe_is_read_one_line_a_question(void **state) {
    (void)state;
    char line[PERSON_LINE_SIZE];
    bool is_yes = false;
    type("\nraise\nyes\nuud\n\nq\n");
    assert_int_equal(person_watched(&person), -1); /* what it holds is for questions to come */
    assert_true(person_overhear(&person));
    assert_true(person_enter(&person, "Go on?"));
    assert_true(person_word(&person, "Up?", "raise"));
    assert_true(person_yes(&person, "Right?", &is_yes));
    assert_true(is_yes);
    assert_true(person_ask_for_keys(&person, "hold u\n"));
    static const char keys[] = "uud\n"; /* every one of them is meant */
    for (size_t i = 0; keys[i] != '\0'; i++) {
        assert_int_equal(person_key(&person), keys[i]);
    }
    assert_true(person_line(&person, "More?", line));
    assert_string_equal(line, "");
    assert_false(person_line(&person, "Still there?", line));
    assert_string_equal(heard(), "Go on? Up? Right? hold u\nMore? Still there? ");
}

#define AT_TERMINAL(test) cmocka_unit_test_setup_teardown(test, at_a_terminal, end)

int main(void) {
    const struct CMUnitTest tests[] = {
        AT_TERMINAL(early_enters_answer_nothing),
        AT_TERMINAL(an_early_line_without_its_end_answers_nothing),
        AT_TERMINAL(what_follows_an_answer_answers_nothing),
        AT_TERMINAL(an_early_q_leaves_and_nothing_is_asked),
        AT_TERMINAL(a_word_is_asked_for_until_it_comes),
        AT_TERMINAL(quit_and_stop_answer_by_leaving),
        AT_TERMINAL(keys_while_nothing_is_asked_are_told_of_once),
        AT_TERMINAL(a_key_that_was_let_go_does_not_go_on),
        AT_TERMINAL(early_keys_jog_nothing),
        AT_TERMINAL(the_terminal_is_left_as_it_was_found),
        cmocka_unit_test_setup_teardown(a_pipe_is_read_one_line_a_question, at_a_pipe, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

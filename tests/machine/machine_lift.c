/* A lift that moves, in the machine of tools/test-machine: the daemon drives it by its PWM outputs
 * and GPIO lines, and this program is the span, its lock bar and its sensors, at the other end of
 * the simulated chips. In mid-travel things go wrong: what do the terminals do? Waits end as soon
 * as what is waited for is there; their limit only ends a test that hangs. */
#include "machine/chips.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* Lines of the bank "lift" (lift.json). */
enum { SEATED, LOCKED, WITHDRAWN, OPEN, STOP_CIRCUIT };
enum { SIGNAL = 8, STOP_POWER, SPAN_POWER, ENABLE, BRAKE, HEARTBEAT };
/* Channels of the pulser. */
enum { RAISE, LOWER, LOCK };

/* At full effort the motor's 15000 rpm, through 50:1 and 30:1, turn the 60 mm drum 10 times a
 * minute: 31 mm of 450 mm in a second. */
static const double full_per_s = 0.07;
static const double mid_travel = 0.02;

static struct sim_bank bank;
static struct {
    double place; /* 0 seated, 1 open */
    bool is_bar_driven;
    bool is_wire_broken; /* of the position sensor */
    double moved_s;
    bool was_unsafe; /* driven both ways at once, or without what S3 wants */
} world = {.is_bar_driven = true};

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static void make(unsigned line, bool is_made) {
    pull(&bank, line, !is_made);
}

static void show_sensors(double speed) {
    make(SEATED, world.place <= 0.001);
    make(OPEN, world.place >= 0.999);
    make(LOCKED, world.is_bar_driven);
    make(WITHDRAWN, !world.is_bar_driven);
    put_volts(world.is_wire_broken ? 0 : 2 + 12 * world.place);
    put_amperes(speed != 0 ? 1.2 : 0);
}

static void move_bar(void) {
    double pulse_ms = 5 * pulse_share(LOCK); /* of a period of 5 ms */
    if (pulse_ms > 1.7) {
        world.is_bar_driven = true;
    } else if (pulse_ms > 0.9) {
        world.is_bar_driven = false;
    }
}

/* By the motor's pulses, where the enable line is on and the brake released. */
static double move_span(double past_s) {
    double raise = pulse_share(RAISE), lower = pulse_share(LOWER);
    bool is_free = is_high(&bank, ENABLE) && is_high(&bank, BRAKE);
    double speed = is_free ? (raise - lower) * full_per_s : 0;
    bool may_move = !is_high(&bank, SIGNAL) && !is_high(&bank, STOP_POWER) &&
                    !is_high(&bank, SPAN_POWER) && !world.is_bar_driven;
    world.was_unsafe = world.was_unsafe || (raise > 0 && lower > 0) || (speed != 0 && !may_move);
    world.place = fmax(0, fmin(1, world.place + speed * past_s));
    return speed;
}

static void let_time_pass(void) {
    double now = now_s();
    move_bar();
    show_sensors(move_span(fmin(0.1, now - world.moved_s)));
    world.moved_s = now;
    usleep(2000);
}

/* ---- what is waited for */

static bool is_lined(void) {
    return is_high(&bank, STOP_POWER) && is_high(&bank, SPAN_POWER) && is_high(&bank, SIGNAL);
}

static bool is_without_power(void) {
    return !is_high(&bank, STOP_POWER) && !is_high(&bank, SPAN_POWER) && !is_high(&bank, SIGNAL);
}

static bool is_in_mid_travel(void) {
    return world.place > mid_travel && pulse_share(RAISE) > 0 && is_high(&bank, ENABLE);
}

static bool is_driven(void) {
    return pulse_share(RAISE) > 0 || pulse_share(LOWER) > 0 || is_high(&bank, ENABLE);
}

/* The lift at rest by each of the things that hold it. */
static bool rests(void) {
    return pulse_share(RAISE) == 0 && pulse_share(LOWER) == 0 && !is_high(&bank, ENABLE) &&
           !is_high(&bank, BRAKE);
}

static bool is_red(void) {
    return (get_byte(EXPANDER, 3) & 3) == 1; /* red, and not green */
}

static bool beats_high(void) {
    return is_high(&bank, HEARTBEAT);
}

static bool beats_low(void) {
    return !is_high(&bank, HEARTBEAT);
}

/* After a failure nothing more is waited for. */
static bool comes(bool (*is_there)(void)) {
    for (double begun_s = now_s(); failed == 0 && now_s() - begun_s < 60;) {
        let_time_pass();
        if (is_there()) {
            return true;
        }
    }
    return false;
}

static void check_comes(bool (*is_there)(void), const char *what) {
    bool is_good = comes(is_there);
    check(is_good, what);
    if (!is_good) {
        printf("       place %.3f, pulses %.3f %.3f, enable %d, brake %d, signal %d\n", world.place,
               pulse_share(RAISE), pulse_share(LOWER), is_high(&bank, ENABLE),
               is_high(&bank, BRAKE), is_high(&bank, SIGNAL));
    }
}

/* ---- the daemon and its client */

static pid_t daemon_pid;
static int client;

static int connect_once(void) {
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons(4303)};
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (connect(fd, (const struct sockaddr *)&at, sizeof at) != 0) {
        close(fd);
        return -1;
    }
    return fd;
}

static bool is_answered(void) {
    client = connect_once();
    return client >= 0;
}

static void ask(const char *line) {
    (void)!write(client, line, strlen(line));
}

static void start_daemon(void) {
    daemon_pid = fork();
    if (daemon_pid == 0) {
        int log = open("/tmp/log", O_WRONLY | O_CREAT | O_TRUNC, 0644);
        dup2(log, STDERR_FILENO);
        execl("/drawtenderd", "drawtenderd", "--config", "/lift.json", (char *)NULL);
        _exit(127);
    }
    check_comes(is_answered, "the daemon answers");
    ask("GO\n");
}

/* Returns the status as of waitpid(). */
static int end_daemon(int number) {
    int status = -1;
    kill(daemon_pid, number);
    waitpid(daemon_pid, &status, 0);
    close(client);
    return status;
}

static void raise_to_mid_travel(void) {
    check_comes(is_lined, "lined for rail");
    ask("SET 1 GA 1 1 1 -1\n");
    check_comes(is_in_mid_travel, "raised to mid-travel by pulses, enabled, brake released");
    check(is_red(), "the river lights are red");
}

/* Asks now and then, for what it was may not be seen to be over yet. */
static bool is_called_home(void) {
    static double asked_s;
    if (now_s() - asked_s > 0.5) {
        asked_s = now_s();
        ask("SET 1 GA 1 4 1 -1\nSET 1 GA 1 0 1 -1\nSET 1 POWER ON\n");
    }
    return is_lined();
}

/* Whatever it was, it is over: acknowledged, and down again. */
static void come_home(void) {
    check_comes(is_called_home, "acknowledged, lowered, locked, and lined for rail");
}

/* ---- what goes wrong in mid-travel */

static void lose_the_sensor(void) {
    raise_to_mid_travel();
    world.is_wire_broken = true;
    check_comes(rests, "S5: the sensor's wire breaks: no pulses, enable off, brake applied");
    check(is_without_power(), "and no power, signal at stop");
    world.is_wire_broken = false;
    come_home();
}

static void let_a_train_come(void) {
    raise_to_mid_travel();
    put_byte(EXPANDER, 0, 1);
    check_comes(rests, "S8: a train in the stop section (polled): the lift rests");
    put_byte(EXPANDER, 0, 0);
    come_home();
}

static void break_the_stop_circuit(void) {
    raise_to_mid_travel();
    make(STOP_CIRCUIT, false);
    check_comes(rests, "S9: the hard-wired stop circuit opens: the lift rests");
    make(STOP_CIRCUIT, true);
    come_home();
}

static void hang(void) {
    raise_to_mid_travel();
    kill(daemon_pid, SIGSTOP);
    bool level = is_high(&bank, HEARTBEAT);
    bool stands = true;
    for (double begun_s = now_s(); now_s() - begun_s < 1;) { /* ten of its half periods */
        usleep(2000);
        stands = stands && is_high(&bank, HEARTBEAT) == level;
    }
    check(stands, "S7: hung: the heartbeat stands still");
    check(is_driven(), "and the motor is driven on: what the relay on the heartbeat is for");
    world.moved_s = now_s(); /* that relay has stopped it */
    kill(daemon_pid, SIGCONT);
    check_comes(beats_high, "woken, it beats");
    check_comes(beats_low, "again");
}

static void end_in_order(void) {
    check(end_daemon(SIGTERM) == 0, "SIGTERM away from the seat: ends in order");
    check(rests() && is_without_power(), "all at rest");
}

/* A terminal that goes. */
static void hang_up(void) {
    raise_to_mid_travel();
    check(end_daemon(SIGHUP) == 0, "SIGHUP in mid-travel: ends in order");
    check(rests() && is_without_power(), "all at rest");
    start_daemon();
    come_home();
}

static void crash(void) {
    raise_to_mid_travel();
    int status = end_daemon(SIGSEGV);
    check(WIFSIGNALED(status) && WTERMSIG(status) == SIGSEGV, "SIGSEGV in mid-travel: dies of it");
    check(rests() && is_without_power(), "no pulses, enable off, brake applied, no power");
    start_daemon();
    come_home();
}

static void kill_it(void) {
    raise_to_mid_travel();
    double share = pulse_share(RAISE);
    end_daemon(SIGKILL);
    printf(
        "       after SIGKILL in mid-travel: enable %d, brake %d, power %d, river %u; pulses %.3f, "
        "before %.3f\n",
        is_high(&bank, ENABLE), is_high(&bank, BRAKE), is_high(&bank, STOP_POWER),
        get_byte(EXPANDER, 3) & 3, pulse_share(RAISE), share);
    check(!is_high(&bank, ENABLE) && !is_high(&bank, BRAKE) && is_without_power(),
          "S7: killed: the kernel lets go of enable, brake, power and signal");
    check(pulse_share(RAISE) > 0, "and the pulses go on, as the documents say");
    check(is_red(), "as does the expander's output: river red");
    start_daemon();
    check(rests(), "started anew in mid-travel: no pulses, enable off, brake applied");
    check(is_without_power(), "S6: nothing is remembered as proof");
    come_home();
}

int main(void) {
    setvbuf(stdout, NULL, _IOLBF, 0);
    check(find_bank(&bank, 1), "the lift's lines are there");
    put_byte(EXPANDER, 0, 0);
    make(STOP_CIRCUIT, true);
    show_sensors(0);
    world.moved_s = now_s();
    start_daemon();
    static void (*const misfortunes[])(void) = {
        lose_the_sensor, let_a_train_come, break_the_stop_circuit, hang_up, crash, kill_it, hang,
        end_in_order};
    for (size_t i = 0; failed == 0 && i < sizeof misfortunes / sizeof misfortunes[0]; i++) {
        misfortunes[i]();
    }
    check(!world.was_unsafe, "never driven both ways, nor with power, proceed or lock (S3)");
    printf("machine lift: %u failed\n", failed);
    return failed == 0 ? 0 : 1;
}

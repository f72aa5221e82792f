/* Checks of the real drivers against a real kernel, run within the machine of tools/test-machine:
 * gpio-sim for lines with edges, and i2c-stub for chips whose registers this program plays.
 * Prints a line for each check; exits 0 if all are good. */
#include "io/kernel/gpio.h"
#include "io/kernel/hwmon.h"
#include "io/kernel/iio.h"
#include "io/kernel/kernel_watchdog.h"
#include "io/kernel/pwm.h"
#include "io/port.h"
#include "io/wired/wired.h"
#include "machine/chips.h"

#include <event2/event.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* ---- lines with edges: gpio-sim, called "edges" */

static struct sim_bank bank;

static void check_edges(void) {
    static const unsigned offsets[] = {0, 1};
    struct error error = {.what = ""};
    bool level[2];
    pull(&bank, 0, false);
    pull(&bank, 1, true);
    void *inputs = gpio_kernel.open_inputs("edges", offsets, 2, WIRED_PULL_AS_IS, true, &error);
    check_opened(inputs != NULL, &error, "two lines with edges requested");
    if (inputs == NULL) {
        return;
    }
    check(gpio_kernel.read(inputs, level, &error) && !level[0] && level[1], "their levels read");
    struct gpio_edge edge[4];
    check(gpio_kernel.take_edges(inputs, 0, edge, 4) == 0, "no edge waits, and none is waited for");
    pull(&bank, 0, true);
    pull(&bank, 0, false);
    struct pollfd waits = {.fd = gpio_kernel.edge_fd(inputs, 0), .events = POLLIN};
    check(poll(&waits, 1, 5000) == 1, "an edge wakes the loop");
    int taken = gpio_kernel.take_edges(inputs, 0, edge, 4);
    check(taken == 2 && edge[0].level && !edge[1].level && edge[0].at_us <= edge[1].at_us,
          "both edges taken in their order");
    check(gpio_kernel.take_edges(inputs, 1, edge, 4) == 0, "the other line had none");
    void *again = gpio_kernel.open_inputs("edges", offsets, 1, WIRED_PULL_AS_IS, true, &error);
    check(again == NULL && strstr(error.what, "in use") != NULL, "a taken line is told: in use");
    gpio_kernel.close(inputs);
}

static void check_pulls(void) {
    static const unsigned offset = 7;
    struct error error = {.what = ""};
    bool level = false;
    void *input = gpio_kernel.open_inputs("edges", &offset, 1, WIRED_PULL_UP, false, &error);
    check_opened(input != NULL, &error, "a line with a pull up requested");
    if (input != NULL) {
        check(gpio_kernel.read(input, &level, &error) && level, "and it is pulled up");
        gpio_kernel.close(input);
    }
}

static void check_output(void) {
    struct error error = {.what = ""};
    void *output = gpio_kernel.open_output("edges", 2, false, &error);
    check_opened(output != NULL && !is_high(&bank, 2), &error, "an output begins low");
    if (output == NULL) {
        return;
    }
    check(gpio_kernel.write(output, true, &error) && is_high(&bank, 2), "and goes high");
    gpio_kernel.close(output);
    output = gpio_kernel.open_output("edges", 2, true, &error);
    check(output != NULL && is_high(&bank, 2), "one that is active low begins high");
    if (output != NULL) {
        gpio_kernel.close(output);
    }
}

/* The kernel lets go of what a dead program had. Its level is not promised then. */
static void check_death(void) {
    int told[2];
    char byte;
    check(pipe(told) == 0, "pipe");
    pid_t pid = fork();
    if (pid == 0) {
        void *output = gpio_kernel.open_output("edges", 2, true, NULL);
        byte = output != NULL;
        (void)!write(told[1], &byte, 1);
        pause();
        _exit(0);
    }
    check(read(told[0], &byte, 1) == 1 && byte == 1, "another program drives an output");
    struct error error = {.what = ""};
    check(gpio_kernel.open_output("edges", 2, false, &error) == NULL, "which nobody else may");
    kill(pid, SIGKILL);
    waitpid(pid, NULL, 0);
    printf("       level after SIGKILL: %s\n", is_high(&bank, 2) ? "high" : "low");
    void *output = gpio_kernel.open_output("edges", 2, false, &error);
    check_opened(output != NULL && !is_high(&bank, 2), &error, "once it is dead the line is free");
    if (output != NULL) {
        gpio_kernel.close(output);
    }
}

/* ---- an expander without interrupts: pca9555 (registers: 0, 1 inputs; 2, 3 outputs; 6, 7
 * directions, 1 is an input; data sheet, from memory) */

/* As the kernel labels it: bus and address. */
static const char expander[] = "0-0020";

static void check_expander(void) {
    static const unsigned offsets[] = {0, 1, 2};
    struct error error = {.what = ""};
    bool level[3];
    check(gpio_kernel.open_inputs(expander, offsets, 1, WIRED_PULL_AS_IS, true, &error) == NULL &&
              strstr(error.what, "No such file") == NULL,
          "an expander without interrupts refuses edges");
    printf("       it says: %s\n", error.what);
    void *inputs = gpio_kernel.open_inputs(expander, offsets, 3, WIRED_PULL_AS_IS, false, &error);
    check_opened(inputs != NULL, &error, "its inputs requested together");
    if (inputs == NULL) {
        return;
    }
    put_byte(EXPANDER, 0, 0x05);
    check(gpio_kernel.read(inputs, level, &error) && level[0] && !level[1] && level[2],
          "and read together");
    void *output = gpio_kernel.open_output(expander, 8, true, &error);
    check_opened(output != NULL, &error, "its output requested");
    if (output != NULL) {
        check((get_byte(EXPANDER, 3) & 1) == 1 && (get_byte(EXPANDER, 7) & 1) == 0,
              "begins high, and is an output");
        check(gpio_kernel.write(output, false, &error) && (get_byte(EXPANDER, 3) & 1) == 0,
              "goes low");
        gpio_kernel.close(output);
    }
    gpio_kernel.close(inputs);
}

/* ---- measures */

static void check_iio(void) {
    struct iio iio;
    struct error error = {.what = ""};
    double value = NAN;
    put_volts(12);
    bool is_open = iio_open(&iio, "ina219", "voltage1", &error);
    check_opened(is_open, &error, "ina219 opened by its name");
    check(is_open && iio_read(&iio, &value, &error) && fabs(value - 12.0) < 0.001, "reads 12 V");
    is_open = iio_open(&iio, "ina219", "current3", &error);
    check_opened(is_open, &error, "its current opened");
    put_word(METER, 4, 0xff38); /* -200 */
    double negative = NAN;
    check(is_open && iio_read(&iio, &negative, &error) && negative < 0, "reads a negative current");
}

static void check_hwmon(void) {
    struct hwmon hwmon;
    struct error error = {.what = ""};
    double value = NAN;
    put_amperes(1.2);
    bool is_open = hwmon_open(&hwmon, "ltc4151", "curr1", &error);
    check_opened(is_open, &error, "ltc4151 opened by its name");
    check(is_open && hwmon_read(&hwmon, &value, &error) && fabs(value - 1.2) < 0.0001,
          "reads 1.2 A");
    check(!hwmon_open(&hwmon, "ltc4151", "curr9", &error), "a channel that is not there is told");
}

/* ---- pulses: pca9685, channel 0 */

static bool is_pulse_off(void) {
    return pulse_share(0) == 0;
}

static void check_pwm(void) {
    struct pwm pwm;
    struct error error = {.what = ""};
    struct wired_pwm setup = {.chip = "/sys/class/pwm/pwmchip0", .period_ns = 20000000};
    bool is_open = pwm_open(&pwm, &setup, &error);
    check_opened(is_open, &error, "a new PWM channel opened");
    if (!is_open) {
        return;
    }
    check(is_pulse_off(), "at rest");
    check(pwm_set(&pwm, 1500000, &error) && fabs(pulse_share(0) - 0.075) < 0.001,
          "1.5 ms of 20 ms put out");
    double enable = 0;
    check(pwm_rest(&pwm, &error) && is_pulse_off() &&
              attribute_number(pwm.folder, "enable", &enable, &error) && enable == 1,
          "rest: no pulses, and still enabled");
    pwm_set(&pwm, 15000000, &error);
    struct pwm second;
    check(!pwm_open(&second, &setup, &error) && strstr(error.what, "in use") != NULL &&
              fabs(pulse_share(0) - 0.75) < 0.001,
          "a claimed channel is told, and left as it is");
    pwm_close(&pwm);
    setup.period_ns = 5000000; /* shorter than the duty cycle that is there */
    is_open = pwm_open(&pwm, &setup, &error);
    check_opened(is_open, &error, "opened again with a period below the old duty cycle");
    check(is_pulse_off(), "at rest again");
    pwm_close(&pwm);
    setup.is_inversed = true;
    check(!pwm_open(&pwm, &setup, &error), "a chip that cannot invert is told");
}

/* ---- the driver "wired": a storm of edges, the end of a two-wire motor (channels 1 and 2) */

static const struct wired_chip edges_chip = {.name = "edges", .device = "edges"};

static uint64_t now_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

struct watched {
    void *port;
    unsigned changes; /* of its edges, before everything else */
    unsigned turns;   /* of what comes after them */
    enum level seated;
};

static void look(struct watched *watched) {
    struct bridge_inputs inputs;
    wired_ops.sense(watched->port, now_us(), &inputs);
    watched->seated = inputs.seated;
}

static void on_changed(void *context) {
    struct watched *watched = context;
    watched->changes++;
    look(watched);
}

static void on_turn(evutil_socket_t fd, short what, void *context) {
    struct watched *watched = context;
    (void)fd;
    (void)what;
    watched->turns++;
    look(watched);
}

/* Goes round until it reads so; the limit only ends a test that hangs. */
static bool comes_to_read(struct event_base *base, struct watched *watched, enum level level) {
    for (uint64_t begun_us = now_us(); now_us() - begun_us < 60000000;) {
        event_base_loop(base, EVLOOP_ONCE);
        if (watched->seated == level) {
            return true;
        }
    }
    return false;
}

static pid_t begin_storm(void) {
    pid_t pid = fork();
    while (pid == 0) {
        pull(&bank, 0, true);
        pull(&bank, 0, false);
    }
    return pid;
}

static void watch_storm(struct event_base *base, struct watched *watched) {
    pid_t storm = begin_storm();
    check(comes_to_read(base, watched, LEVEL_UNKNOWN), "a line in a storm of edges reads nothing");
    unsigned changes = watched->changes;
    for (unsigned turn = watched->turns + 100; watched->turns < turn;) {
        event_base_loop(base, EVLOOP_ONCE);
    }
    check(watched->changes == changes && watched->seated == LEVEL_UNKNOWN,
          "nor does it wake the loop while it goes on");
    kill(storm, SIGKILL);
    waitpid(storm, NULL, 0);
    pull(&bank, 0, true);
    check(comes_to_read(base, watched, LEVEL_ON), "when it is quiet it is read again");
    pull(&bank, 0, false);
    check(comes_to_read(base, watched, LEVEL_OFF), "and an edge wakes the loop");
}

static void check_storm(void) {
    struct error error = {.what = ""};
    struct watched watched = {.port = NULL};
    struct event_base *base = event_base_new();
    event_base_priority_init(base, 2);
    struct event *turn = event_new(base, -1, EV_PERSIST, on_turn, &watched);
    const struct timeval often = {.tv_usec = 10000};
    event_priority_set(turn, 1);
    event_add(turn, &often);
    const struct port_host host = {.base = base, .changed = on_changed, .context = &watched};
    const struct wired_setup setup = {.chips = 1,
                                      .chip = {edges_chip},
                                      .inputs = 1,
                                      .input = {{.line = 0, .pin = {.is_used = true}}}};
    const struct port_settings settings = {
        .own = (struct port_own[]){{"wired", &setup}, {NULL, NULL}}};
    pull(&bank, 0, false);
    watched.port = wired_ops.open(&settings, &host, &error);
    check_opened(watched.port != NULL, &error, "a contact watched by its edges");
    if (watched.port != NULL) {
        look(&watched);
        watch_storm(base, &watched);
        wired_ops.close(watched.port);
    }
    event_free(turn);
    event_base_free(base);
}

/* Line 2 of the bank is the motor's enable. */
static const struct wired_setup two_wire = {
    .chips = 1,
    .chip = {edges_chip},
    .motor = {.kind = WIRED_MOTOR_TWO_WIRE,
              .pwm = {{"/sys/class/pwm/pwmchip0", 1, 5000000, false},
                      {"/sys/class/pwm/pwmchip0", 2, 5000000, false}},
              .enable = {.is_used = true, .offset = 2}}};

static void *drive_two_wire(double effort, struct error *error) {
    const struct port_host host = {.base = NULL};
    const struct port_settings settings = {
        .own = (struct port_own[]){{"wired", &two_wire}, {NULL, NULL}}};
    const struct bridge_outputs outputs = {.lift_effort = effort};
    void *port = wired_ops.open(&settings, &host, error);
    if (port != NULL) {
        wired_ops.act(port, now_us(), &outputs);
    }
    return port;
}

static bool is_driven(unsigned channel) {
    return fabs(pulse_share(channel) - 0.5) < 0.01 && pulse_share(3 - channel) == 0 &&
           is_high(&bank, 2);
}

static bool is_at_rest(void) {
    return pulse_share(1) == 0 && pulse_share(2) == 0 && !is_high(&bank, 2);
}

static void check_two_wire(void) {
    for (unsigned channel = 1; channel <= 2; channel++) {
        struct error error = {.what = ""};
        void *port = drive_two_wire(channel == 1 ? 0.5 : -0.5, &error);
        check_opened(port != NULL, &error, "a motor at two PWM channels");
        if (port == NULL) {
            return;
        }
        check(is_driven(channel), channel == 1 ? "raises by one" : "lowers by the other");
        check(wired_ops.safe(port) && is_at_rest(), "safe: no pulses at either, enable off");
        /* Another program meddles with what is believed at rest. */
        check(
            attribute_put_count("/sys/class/pwm/pwmchip0/pwm1", "duty_cycle", 2500000, &error) &&
                attribute_put_count("/sys/class/pwm/pwmchip0/pwm2", "duty_cycle", 2500000, &error),
            "meddled with");
        check(wired_ops.safe(port) && is_at_rest(), "safe: written whatever was written before");
        wired_ops.close(port);
    }
}

static void *crashing;

static void on_crash(int number) {
    wired_ops.crash_safe(crashing);
    signal(number, SIG_DFL);
    raise(number);
}

static void check_crash(void) {
    int told[2];
    char byte;
    check(pipe(told) == 0, "pipe");
    pid_t pid = fork();
    if (pid == 0) {
        crashing = drive_two_wire(-0.5, NULL);
        signal(SIGSEGV, on_crash);
        byte = crashing != NULL;
        (void)!write(told[1], &byte, 1);
        pause();
        _exit(0);
    }
    check(read(told[0], &byte, 1) == 1 && byte == 1 && is_driven(2), "another program lowers");
    kill(pid, SIGSEGV);
    int status = 0;
    waitpid(pid, &status, 0);
    check(WIFSIGNALED(status) && WTERMSIG(status) == SIGSEGV && is_at_rest(),
          "and crashes: no pulses, enable off");
}

static void check_watchdog(void) {
    struct kernel_watchdog watchdog;
    struct error error = {.what = ""};
    bool is_open = kernel_watchdog_open(&watchdog, "/dev/watchdog", 10, &error);
    check_opened(is_open, &error, "the kernel's watchdog opened");
    check(is_open && watchdog.timeout_s == 10, "its timeout read back");
    check(kernel_watchdog_ping(&watchdog), "and pinged");
    kernel_watchdog_close(&watchdog, true);
    char text[32] = "";
    if (attribute_text("/sys/class/watchdog/watchdog0", "state", text, sizeof text, NULL)) {
        check(strcmp(text, "inactive") == 0, "an orderly end stops it");
    }
}

int main(void) {
    setvbuf(stdout, NULL, _IOLBF, 0);
    check(find_bank(&bank, 0), "gpio-sim is there");
    check_edges();
    check_pulls();
    check_output();
    check_death();
    check_expander();
    check_iio();
    check_hwmon();
    check_pwm();
    check_storm();
    check_two_wire();
    check_crash();
    check_watchdog();
    printf("machine check: %u failed\n", failed);
    return failed == 0 ? 0 : 1;
}

/* Checks of the real drivers against a real kernel, run within the machine of tools/test-machine:
 * gpio-sim for lines with edges, and i2c-stub for chips whose registers this program plays.
 * Prints a line for each check; exits 0 if all are good. */
#include "io/gpio.h"
#include "io/hwmon.h"
#include "io/iio.h"
#include "io/kernel_watchdog.h"
#include "io/pwm.h"

#include <dirent.h>
#include <fcntl.h>
#include <linux/i2c-dev.h>
#include <linux/i2c.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { EXPANDER = 0x20, METER = 0x40, PULSER = 0x41, SUPPLY = 0x6a };

static unsigned failed;

static void check(bool is_good, const char *what) {
    printf("%s %s\n", is_good ? "ok    " : "FAILED", what);
    failed += is_good ? 0 : 1;
}

static void check_opened(bool is_open, const struct error *error, const char *what) {
    if (!is_open) {
        printf("       %s: %s\n", error->where, error->what);
    }
    check(is_open, what);
}

/* ---- the registers of i2c-stub's chips */

static int smbus(unsigned chip, char way, unsigned reg, int size, union i2c_smbus_data *data) {
    int fd = open("/dev/i2c-0", O_RDWR);
    struct i2c_smbus_ioctl_data call = {
        .read_write = (__u8)way, .command = (__u8)reg, .size = (__u32)size, .data = data};
    int result = fd < 0 || ioctl(fd, I2C_SLAVE_FORCE, (unsigned long)chip) < 0
                     ? -1
                     : ioctl(fd, I2C_SMBUS, &call);
    close(fd);
    return result;
}

static void put_byte(unsigned chip, unsigned reg, unsigned value) {
    union i2c_smbus_data data = {.byte = (__u8)value};
    check(smbus(chip, I2C_SMBUS_WRITE, reg, I2C_SMBUS_BYTE_DATA, &data) == 0, "register written");
}

static unsigned get_byte(unsigned chip, unsigned reg) {
    union i2c_smbus_data data = {.byte = 0};
    smbus(chip, I2C_SMBUS_READ, reg, I2C_SMBUS_BYTE_DATA, &data);
    return data.byte;
}

/* High byte first, as these chips have it. */
static void put_word(unsigned chip, unsigned reg, unsigned value) {
    union i2c_smbus_data data = {.word = (__u16)((value & 0xff) << 8 | value >> 8)};
    check(smbus(chip, I2C_SMBUS_WRITE, reg, I2C_SMBUS_WORD_DATA, &data) == 0, "register written");
}

/* ---- lines with edges: gpio-sim, called "edges" */

static char sim_folder[200];

static bool find_sim(void) {
    static const char device[] = "/sys/devices/platform/gpio-sim.0";
    DIR *directory = opendir(device);
    struct dirent *entry;
    while (directory != NULL && (entry = readdir(directory)) != NULL) {
        if (strncmp(entry->d_name, "gpiochip", 8) == 0) {
            snprintf(sim_folder, sizeof sim_folder, "%s/%.100s", device, entry->d_name);
        }
    }
    if (directory != NULL) {
        closedir(directory);
    }
    return sim_folder[0] != '\0';
}

static void pull(unsigned line, bool is_up) {
    char name[32];
    snprintf(name, sizeof name, "sim_gpio%u/pull", line);
    struct error error;
    check_opened(attribute_put(sim_folder, name, is_up ? "pull-up" : "pull-down", &error), &error,
                 "simulated line pulled");
}

static bool is_high(unsigned line) {
    char name[32];
    double value = -1;
    snprintf(name, sizeof name, "sim_gpio%u/value", line);
    attribute_number(sim_folder, name, &value, NULL);
    return value == 1;
}

static void check_edges(void) {
    static const unsigned offsets[] = {0, 1};
    struct error error = {.what = ""};
    bool level[2];
    pull(0, false);
    pull(1, true);
    void *inputs = gpio_kernel.open_inputs("edges", offsets, 2, WIRED_PULL_AS_IS, true, &error);
    check_opened(inputs != NULL, &error, "two lines with edges requested");
    if (inputs == NULL) {
        return;
    }
    check(gpio_kernel.read(inputs, level, &error) && !level[0] && level[1], "their levels read");
    struct gpio_edge edge[4];
    check(gpio_kernel.take_edges(inputs, 0, edge, 4) == 0, "no edge waits, and none is waited for");
    pull(0, true);
    pull(0, false);
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
    check_opened(output != NULL && !is_high(2), &error, "an output begins low");
    if (output == NULL) {
        return;
    }
    check(gpio_kernel.write(output, true, &error) && is_high(2), "and goes high");
    gpio_kernel.close(output);
    output = gpio_kernel.open_output("edges", 2, true, &error);
    check(output != NULL && is_high(2), "one that is active low begins high");
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
    printf("       level after SIGKILL: %s\n", is_high(2) ? "high" : "low");
    void *output = gpio_kernel.open_output("edges", 2, false, &error);
    check_opened(output != NULL && !is_high(2), &error, "once it is dead the line is free");
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

/* ina219: register 2 is the bus voltage, 4 mV in bits 3 and up (data sheet, from memory). */
static void check_iio(void) {
    struct iio iio;
    struct error error = {.what = ""};
    double value = NAN;
    put_word(METER, 2, 3000 << 3);
    bool is_open = iio_open(&iio, "ina219", "voltage1", &error);
    check_opened(is_open, &error, "ina219 opened by its name");
    check(is_open && iio_read(&iio, &value, &error) && fabs(value - 12.0) < 0.001, "reads 12 V");
    is_open = iio_open(&iio, "ina219", "current3", &error);
    check_opened(is_open, &error, "its current opened");
    put_word(METER, 4, 0xff38); /* -200 */
    double negative = NAN;
    check(is_open && iio_read(&iio, &negative, &error) && negative < 0, "reads a negative current");
}

/* ltc4151: 20 uV a step across its shunt, which the driver takes as 1 mOhm: 60 steps are 1.2 A
 * (data sheet and driver, from memory). */
static void check_hwmon(void) {
    struct hwmon hwmon;
    struct error error = {.what = ""};
    double value = NAN;
    put_byte(SUPPLY, 0, 60 >> 4);
    put_byte(SUPPLY, 1, (60 & 0xf) << 4);
    bool is_open = hwmon_open(&hwmon, "ltc4151", "curr1", &error);
    check_opened(is_open, &error, "ltc4151 opened by its name");
    check(is_open && hwmon_read(&hwmon, &value, &error) && fabs(value - 1.2) < 0.0001,
          "reads 1.2 A");
    check(!hwmon_open(&hwmon, "ltc4151", "curr9", &error), "a channel that is not there is told");
}

/* ---- pulses: pca9685, channel 0 in registers 6 to 9: when the pulse begins and ends, in 4096ths;
 * bit 4 of register 9 is "full off" (data sheet, from memory) */

static bool is_pulse_off(void) {
    return (get_byte(PULSER, 9) & 0x10) != 0 ||
           (get_byte(PULSER, 8) == 0 && get_byte(PULSER, 9) == 0);
}

static double pulse_share(void) {
    return (get_byte(PULSER, 8) + 256.0 * (get_byte(PULSER, 9) & 0x0f)) / 4096;
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
    check(pwm_set(&pwm, 1500000, &error) && fabs(pulse_share() - 0.075) < 0.001,
          "1.5 ms of 20 ms put out");
    double enable = 0;
    check(pwm_rest(&pwm, &error) && is_pulse_off() &&
              attribute_number(pwm.folder, "enable", &enable, &error) && enable == 1,
          "rest: no pulses, and still enabled");
    pwm_set(&pwm, 15000000, &error);
    setup.period_ns = 5000000; /* shorter than the duty cycle that is there */
    is_open = pwm_open(&pwm, &setup, &error);
    check_opened(is_open, &error, "opened again with a period below the old duty cycle");
    check(is_pulse_off(), "at rest again");
    setup.is_inversed = true;
    check(!pwm_open(&pwm, &setup, &error), "a chip that cannot invert is told");
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
    check(find_sim(), "gpio-sim is there");
    check_edges();
    check_pulls();
    check_output();
    check_death();
    check_expander();
    check_iio();
    check_hwmon();
    check_pwm();
    check_watchdog();
    printf("machine check: %u failed\n", failed);
    return failed == 0 ? 0 : 1;
}

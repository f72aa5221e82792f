#include "machine/chips.h"

#include "io/kernel/attribute.h"

#include <dirent.h>
#include <fcntl.h>
#include <linux/i2c-dev.h>
#include <linux/i2c.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

unsigned failed;

void check(bool is_good, const char *what) {
    printf("%s %s\n", is_good ? "ok    " : "FAILED", what);
    failed += is_good ? 0 : 1;
}

void check_opened(bool is_open, const struct error *error, const char *what) {
    if (!is_open) {
        printf("       %s: %s\n", error->where, error->what);
    }
    check(is_open, what);
}

/* ---- registers */

static void smbus(unsigned chip, char way, unsigned reg, int size, union i2c_smbus_data *data) {
    static int bus = -1;
    if (bus < 0) {
        bus = open("/dev/i2c-0", O_RDWR | O_CLOEXEC);
    }
    struct i2c_smbus_ioctl_data call = {
        .read_write = (__u8)way, .command = (__u8)reg, .size = (__u32)size, .data = data};
    if (ioctl(bus, I2C_SLAVE_FORCE, (unsigned long)chip) < 0 || ioctl(bus, I2C_SMBUS, &call) < 0) {
        check(false, "a register of a simulated chip");
    }
}

void put_byte(unsigned chip, unsigned reg, unsigned value) {
    union i2c_smbus_data data = {.byte = (__u8)value};
    smbus(chip, I2C_SMBUS_WRITE, reg, I2C_SMBUS_BYTE_DATA, &data);
}

unsigned get_byte(unsigned chip, unsigned reg) {
    union i2c_smbus_data data = {.byte = 0};
    smbus(chip, I2C_SMBUS_READ, reg, I2C_SMBUS_BYTE_DATA, &data);
    return data.byte;
}

void put_word(unsigned chip, unsigned reg, unsigned value) {
    union i2c_smbus_data data = {.word = (__u16)((value & 0xff) << 8 | value >> 8)};
    smbus(chip, I2C_SMBUS_WRITE, reg, I2C_SMBUS_WORD_DATA, &data);
}

void put_volts(double volts) {
    put_word(METER, 2, (unsigned)lround(volts / 0.004) << 3);
}

void put_amperes(double amperes) {
    unsigned steps = (unsigned)lround(amperes / 0.02);
    put_byte(SUPPLY, 0, steps >> 4);
    put_byte(SUPPLY, 1, (steps & 0xf) << 4);
}

double pulse_share(unsigned channel) {
    unsigned reg = 6 + 4 * channel;
    unsigned high = get_byte(PULSER, reg + 3);
    bool is_off = (high & 0x10) != 0;
    bool is_on = (get_byte(PULSER, reg + 1) & 0x10) != 0;
    double share = (get_byte(PULSER, reg + 2) + 256.0 * (high & 0x0f)) / 4096;
    return is_off ? 0 : is_on ? 1 : share;
}

/* ---- lines */

bool find_bank(struct sim_bank *bank, unsigned device) {
    char path[64];
    snprintf(path, sizeof path, "/sys/devices/platform/gpio-sim.%u", device);
    DIR *directory = opendir(path);
    struct dirent *entry;
    bank->folder[0] = '\0';
    while (directory != NULL && (entry = readdir(directory)) != NULL) {
        if (strncmp(entry->d_name, "gpiochip", 8) == 0) {
            snprintf(bank->folder, sizeof bank->folder, "%s/%.100s", path, entry->d_name);
        }
    }
    if (directory != NULL) {
        closedir(directory);
    }
    return bank->folder[0] != '\0';
}

void pull(const struct sim_bank *bank, unsigned line, bool is_up) {
    char name[32];
    struct error error;
    snprintf(name, sizeof name, "sim_gpio%u/pull", line);
    if (!attribute_put(bank->folder, name, is_up ? "pull-up" : "pull-down", &error)) {
        check_opened(false, &error, "simulated line pulled");
    }
}

bool is_high(const struct sim_bank *bank, unsigned line) {
    char name[32];
    double value = -1;
    snprintf(name, sizeof name, "sim_gpio%u/value", line);
    attribute_number(bank->folder, name, &value, NULL);
    return value == 1;
}

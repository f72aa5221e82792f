#include "support/io/fake_gpio.h"

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

struct fake_gpio fake_gpio;

struct handle {
    unsigned chip, lines;
    unsigned offset[GPIO_LINES_MAX];
};

void fake_gpio_start(void) {
    assert_int_equal(fake_gpio.open, 0);
    memset(&fake_gpio, 0, sizeof fake_gpio);
}

static struct fake_gpio_line *line_of(void *port, unsigned i) {
    struct handle *handle = port;
    return &fake_gpio.line[handle->chip][handle->offset[i]];
}

static struct handle *take_lines(const char *device, const unsigned offset[], unsigned lines,
                                 struct error *error) {
    unsigned chip = strcmp(device, "chip1") == 0 ? 1 : 0;
    if (strncmp(device, "chip", 4) != 0) {
        error_set(error, device, "No such file or directory");
        return NULL;
    }
    for (unsigned i = 0; i < lines; i++) {
        struct fake_gpio_line *line = &fake_gpio.line[chip][offset[i]];
        if (line->is_input || line->is_output) {
            error_set(error, device, "in use by another program");
            return NULL;
        }
    }
    struct handle *handle = calloc(1, sizeof *handle);
    assert_non_null(handle);
    handle->chip = chip;
    handle->lines = lines;
    memcpy(handle->offset, offset, lines * sizeof offset[0]);
    fake_gpio.open++;
    return handle;
}

static void *open_inputs(const char *device, const unsigned offset[], unsigned lines,
                         enum wired_pull pull, bool has_edges, struct error *error) {
    struct handle *handle = take_lines(device, offset, lines, error);
    for (unsigned i = 0; handle != NULL && i < lines; i++) {
        struct fake_gpio_line *line = line_of(handle, i);
        line->is_input = true;
        line->pull = pull;
        line->has_edges = has_edges;
        int pair[2];
        assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, pair), 0);
        line->fd = pair[0];
        line->test_fd = pair[1];
    }
    return handle;
}

static bool read_lines(void *port, bool level[], struct error *error) {
    struct handle *handle = port;
    fake_gpio.reads[handle->chip]++;
    for (unsigned i = 0; i < handle->lines; i++) {
        level[i] = line_of(handle, i)->level;
    }
    return !fake_gpio.cannot_read[handle->chip] || error_set(error, "chip", "Remote I/O error");
}

static int edge_fd(void *port, unsigned i) {
    return line_of(port, i)->fd;
}

static int take_edges(void *port, unsigned i, struct gpio_edge edge[], int most) {
    struct fake_gpio_line *line = line_of(port, i);
    int taken = 0;
    char byte;
    if (fake_gpio.cannot_take_edges[((struct handle *)port)->chip]) {
        return -1;
    }
    while (taken < most && line->edges > 0) {
        edge[taken++] = line->edge[0];
        line->edges--;
        memmove(&line->edge[0], &line->edge[1], line->edges * sizeof line->edge[0]);
        assert_int_equal(read(line->fd, &byte, 1), 1);
    }
    return taken;
}

static void *open_output(const char *device, unsigned offset, bool level, struct error *error) {
    struct handle *handle = take_lines(device, &offset, 1, error);
    if (handle != NULL) {
        line_of(handle, 0)->is_output = true;
        line_of(handle, 0)->level = level;
    }
    return handle;
}

static bool write_line(void *port, bool level, struct error *error) {
    struct handle *handle = port;
    fake_gpio.writes++;
    if (fake_gpio.cannot_write[handle->chip]) {
        return error_set(error, "chip", "Remote I/O error");
    }
    line_of(handle, 0)->level = level;
    size_t filled = strlen(fake_gpio.log);
    snprintf(fake_gpio.log + filled, sizeof fake_gpio.log - filled, "%u:%u=%d ", handle->chip,
             handle->offset[0], level);
    if (fake_gpio.wrote != NULL) {
        fake_gpio.wrote(fake_gpio.context, handle->offset[0], level);
    }
    return true;
}

static void close_lines(void *port) {
    struct handle *handle = port;
    for (unsigned i = 0; i < handle->lines; i++) {
        struct fake_gpio_line *line = line_of(handle, i);
        if (line->is_input) {
            close(line->fd);
            close(line->test_fd);
        }
        line->is_input = false;
        line->is_output = false;
    }
    free(handle);
    fake_gpio.open--;
}

void fake_gpio_set(unsigned chip, unsigned number, bool level) {
    struct fake_gpio_line *line = &fake_gpio.line[chip][number];
    if (line->is_input && line->has_edges && line->level != level) {
        assert_true(line->edges < FAKE_GPIO_EDGES);
        line->edge[line->edges++] = (struct gpio_edge){++fake_gpio.now_us, level};
        assert_int_equal(write(line->test_fd, "", 1), 1);
    }
    line->level = level;
}

bool fake_gpio_level(unsigned chip, unsigned number) {
    return fake_gpio.line[chip][number].level;
}

const struct gpio_ops fake_gpio_ops = {
    .open_inputs = open_inputs,
    .read = read_lines,
    .edge_fd = edge_fd,
    .take_edges = take_edges,
    .open_output = open_output,
    .write = write_line,
    .close = close_lines,
};

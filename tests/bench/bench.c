/* bench.c: measures drawtenderd beside a bare libevent line echo, in one run. Only ratios mean
 * anything: the machine is what it is. README.md says what each figure means. */
#include "bench/bench.h"

#include "bench/children.h"
#include "bench/cores.h"
#include "bench/echo.h"
#include "bench/edge_server.h"
#include "bench/figures.h"
#include "bench/table.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

const char bench_request[] = "GET 1 FB 1\n";

static const struct part {
    const char *name;
    void (*measure)(const struct bench *bench);
} parts[] = {
    {"asking", bench_asking}, {"fan-out", bench_fan_out},   {"memory", bench_memory},
    {"rest", bench_rest},     {"plan", bench_plan},         {"held", bench_held},
    {"lcc", bench_lcc},       {"reaction", bench_reaction},
};

enum { PARTS = sizeof parts / sizeof parts[0] };

void bench_echo(void *context, int report) {
    (void)context;
    cores_keep_to(CORES_SERVER);
    echo_run(report);
}

void bench_daemon(void *context, int report) {
    const struct bench *bench = context;
    static const char program[] = BINARY_DIR "/drawtenderd";
    cores_keep_to(CORES_SERVER);
    dup2(report, STDERR_FILENO);
    execl(program, program, "--config", bench->many, "--port", "0", (char *)NULL);
}

static cJSON *read_config(const char *path) {
    char *text = calloc(1, 1 << 20);
    FILE *file = fopen(path, "r");
    if (file == NULL || fread(text, 1, (1 << 20) - 1, file) == 0) {
        figures_fail("%s cannot be read", path);
    }
    fclose(file);
    cJSON *tree = cJSON_Parse(text);
    free(text);
    return tree;
}

/* Deletes the tree. */
static void write_tree(cJSON *tree, char path[64]) {
    char *text = cJSON_PrintUnformatted(tree);
    snprintf(path, 64, "/tmp/drawtender-bench-XXXXXX");
    int fd = mkstemp(path);
    if (fd < 0 || write(fd, text, strlen(text)) < 0) {
        figures_fail("no temporary file to be had");
    }
    close(fd);
    cJSON_free(text);
    cJSON_Delete(tree);
}

/* The example with a server for many. */
static void write_config(const char *example, char path[64]) {
    cJSON *tree = read_config(example);
    cJSON_DeleteItemFromObject(tree, "server");
    cJSON_AddItemToObject(tree, "server",
                          cJSON_Parse("{\"sessions\": 5000, \"backlog\": \"16 MiB\", "
                                      "\"listeners\": [{\"may\": \"administer\"}]}"));
    write_tree(tree, path);
}

void bench_write_node(const struct bench *bench, unsigned port, char path[64]) {
    char links[96];
    cJSON *tree = read_config(bench->many);
    cJSON *bridge = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    snprintf(links, sizeof links, "{\"listen\": [{\"port\": %u, \"may\": \"operate\"}]}", port);
    cJSON_AddItemToObject(tree, "lcc", cJSON_Parse(links));
    cJSON_DeleteItemFromObject(bridge, "warning");
    cJSON_AddItemToObject(bridge, "warning",
                          cJSON_Parse("{\"least\": \"0 s\", \"short blast\": \"100 ms\", "
                                      "\"prolonged blast\": \"500 ms\", \"gap\": \"100 ms\"}"));
    cJSON_AddItemToObject(bridge, "lcc", cJSON_Parse("{\"node\": \"0A.44.52.00.00.01\"}"));
    write_tree(tree, path);
}

static void take_descriptors(void) {
    enum { WANTED = 8192 };
    struct rlimit files;
    getrlimit(RLIMIT_NOFILE, &files);
    files.rlim_cur = files.rlim_max < WANTED ? files.rlim_max : WANTED;
    setrlimit(RLIMIT_NOFILE, &files);
}

/* Fills `wanted`; all, if none is named. */
static void read_arguments(int count, char **arguments, struct bench *bench, bool wanted[PARTS]) {
    bool is_any = false;
    for (int i = 1; i < count; i++) {
        bool is_known = false;
        for (size_t p = 0; p < PARTS; p++) {
            if (strcmp(arguments[i], parts[p].name) == 0) {
                wanted[p] = is_known = is_any = true;
            }
        }
        if (strcmp(arguments[i], "--share") == 0) {
            cores_share();
        } else if (strcmp(arguments[i], "--edges") == 0 && i + 1 < count) {
            bench->edges = (unsigned)strtoul(arguments[++i], NULL, 10);
        } else if (!is_known) {
            figures_fail("%s: no part of that name", arguments[i]);
        }
    }
    for (size_t p = 0; p < PARTS && !is_any; p++) {
        wanted[p] = true;
    }
    if (bench->edges == 0 || bench->edges > EDGES_MAX) {
        figures_fail("wanted a number of edges from 1 to %d", EDGES_MAX);
    }
}

int main(int count, char **arguments) {
    struct bench bench = {.edges = 4000};
    bool wanted[PARTS] = {false};
    read_arguments(count, arguments, &bench, wanted);
    take_descriptors();
    write_config(SOURCE_DIR "/tests/daemon/quiet-bridge.json", bench.many);
    write_config(SOURCE_DIR "/config/garden-gate.json", bench.gate);
    printf("%s\n", cores_can_part() ? "The server has a core of its own, its clients the others."
                                    : "The server and its clients share their cores.");
    cores_keep_to(CORES_LOAD);
    table_heading();
    for (size_t p = 0; p < PARTS; p++) {
        if (wanted[p]) {
            parts[p].measure(&bench);
        }
    }
    unlink(bench.many);
    unlink(bench.gate);
    return 0;
}

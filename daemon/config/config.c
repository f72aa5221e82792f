#include "config/config.h"

#include "config/build/build.h"
#include "config/demo.h"
#include "config/reader/json_text.h"
#include "config/tables/tables.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- the bridges --- */

static void check_unique(const struct net_setup *net, unsigned i, struct config_report *report) {
    for (unsigned other = 0; other < i; other++) {
        if (strcmp(net->bridge[i].name, net->bridge[other].name) == 0) {
            config_list_add(&report->errors, build_place("/bridges/%u/name", i).text,
                            "\"%s\" is the name of bridge %u already", net->bridge[i].name, other);
        }
        if (net->bridge[i].bus == net->bridge[other].bus) {
            config_list_add(&report->errors, build_place("/bridges/%u/bus", i).text,
                            "bus %u is that of bridge %u already", net->bridge[i].bus, other);
        }
    }
}

static void build_bridge(const struct written_config *written, unsigned i, struct config *config,
                         struct config_report *report) {
    struct build build = {.written = &written->bridges.item[i],
                          .bridge = &config->bridge[i],
                          .net = &config->net.bridge[i],
                          .report = report,
                          .index = i};
    build_lift(&build);
    build_motion(&build);
    build_tracks(&build);
    build_net(&build);
    build_simulation(&build);
    build_core(&build);
    build_lines(&build);
    build_wired(&build);
    build_sizing(&build);
    build_builder(&build);
    build_lcc(&build, &config->lcc);
    check_unique(&config->net, i, report);
}

static bool build_config(const struct written_config *written, struct config *config,
                         struct config_report *report) {
    build_server(&written->server, &config->net, report);
    build_panel(&written->server, &config->net, &config->panel, report);
    build_record(&written->record, &config->record);
    build_lcc_links(&written->lcc, &config->net, &config->lcc, report);
    config->net.bridges = written->bridges.list.count;
    for (unsigned i = 0; i < config->net.bridges; i++) {
        build_bridge(written, i, config, report);
    }
    build_lcc_check(&config->lcc, config->net.bridges, report);
    if (report->errors.count > report->misfits) {
        memset(config, 0, sizeof *config);
    }
    return report->errors.count == 0;
}

/* --- what may be off --- */

/* What is moved: the value that comes after `before` others which may be off. */
struct moved {
    size_t before;
    double times;
};

static void move(void *context, const char *where, cJSON *json, enum quantity quantity) {
    (void)where;
    struct moved *moved = context;
    double value = 0, spread = 0;
    quantity_read_spread(json->valuestring, quantity, &value, &spread, NULL);
    if (spread > 0 && moved->before-- == 0) {
        char text[64];
        quantity_write(value + moved->times * spread, quantity, text, sizeof text);
        cJSON_SetValuestring(json, text);
    }
}

static void find(void *context, const char *where, cJSON *json, enum quantity quantity) {
    struct config_doubtful *doubtful = context;
    double value = 0, spread = 0;
    quantity_read_spread(json->valuestring, quantity, &value, &spread, NULL);
    if (spread > 0 && doubtful->count++ < CONFIG_DOUBTFUL_MAX) {
        snprintf(doubtful->where[doubtful->count - 1], POINTER_SIZE, "%s", where);
    }
}

/* --- text and files --- */

static bool read_tree(cJSON *tree, struct config *config, struct config_report *report) {
    struct written_config *written = calloc(1, sizeof *written);
    bool is_usable = false;
    if (written == NULL) {
        config_list_add(&report->errors, "", "no memory left to read a configuration");
    } else {
        struct pointer pointer = {.length = 0};
        fields_read(&tables_config, tree, written, &pointer, report);
        units_of(&tables_config, tree, &config->units);
        is_usable = build_config(written, config, report);
    }
    free(written);
    return is_usable;
}

static bool read_moved(const char *text, size_t length, const struct moved *moved,
                       struct config *config, struct config_report *report) {
    struct error error;
    memset(config, 0, sizeof *config);
    memset(report, 0, sizeof *report);
    cJSON *tree = json_text_parse(text, length, &error);
    if (tree == NULL) {
        return config_list_add(&report->errors, error.where, "%s", error.what);
    }
    if (moved != NULL) {
        struct moved left = *moved;
        fields_each_quantity(&tables_config, tree, move, &left);
    }
    bool is_usable = read_tree(tree, config, report);
    cJSON_Delete(tree);
    return is_usable;
}

bool config_read_text(const char *text, size_t length, struct config *config,
                      struct config_report *report) {
    return read_moved(text, length, NULL, config, report);
}

bool config_read_moved(const char *text, size_t length, size_t index, double times,
                       struct config *config, struct config_report *report) {
    const struct moved moved = {index, times};
    return read_moved(text, length, &moved, config, report);
}

void config_find_doubtful(const char *text, size_t length, struct config_doubtful *doubtful) {
    struct error error;
    cJSON *tree = json_text_parse(text, length, &error);
    *doubtful = (struct config_doubtful){.count = 0};
    if (tree != NULL) {
        fields_each_quantity(&tables_config, tree, find, doubtful);
        cJSON_Delete(tree);
    }
}

bool config_read_file(const char *path, struct config *config, struct config_report *report) {
    size_t length;
    struct error error;
    char *text = json_text_read(path, &length, &error);
    if (text == NULL) {
        memset(config, 0, sizeof *config);
        memset(report, 0, sizeof *report);
        return config_list_add(&report->errors, error.where, "%s", error.what);
    }
    bool is_usable = config_read_text(text, length, config, report);
    free(text);
    return is_usable;
}

const char *config_demo_text(size_t *length) {
    *length = demo_text_length;
    return demo_text;
}

bool config_demo(struct config *config, struct config_report *report) {
    return config_read_text(demo_text, demo_text_length, config, report);
}

#include "config/config.h"

#include "config/build/build.h"
#include "config/demo.h"
#include "config/reader/json_text.h"
#include "config/tables/tables.h"

#include <stdlib.h>
#include <string.h>

/* --- the bridges --- */

static void check_unique(const struct net_setup *net, unsigned i, struct config_report *report) {
    for (unsigned other = 0; other < i; other++) {
        if (strcmp(net->bridge[i].name, net->bridge[other].name) == 0) {
            config_list_add(&report->errors, build_place("/bridges/%u/name", i).text,
                            "\"%s\" is already the name of bridge %u", net->bridge[i].name, other);
        }
        if (net->bridge[i].bus == net->bridge[other].bus) {
            config_list_add(&report->errors, build_place("/bridges/%u/bus", i).text,
                            "bus %u is already that of bridge %u", net->bridge[i].bus, other);
        }
    }
}

/* Returns whether it lacks at most its motor or its supply: without its kind, leaf or drive nothing
 * of it can be calculated. */
static bool add_bridge(const struct written_config *written, unsigned i, struct config *config,
                       struct config_report *report) {
    const struct build build = build_bridge(written, i, config, report);
    build_lcc(&build, &config->lcc);
    check_unique(&config->net, i, report);
    return build_is_kind_known(&build) && (build.missing & ~(unsigned)SIZING_OF_MOTOR) == 0;
}

static bool build_config(const struct written_config *written, struct config *config,
                         struct config_report *report) {
    build_server(&written->server, &config->net, report);
    build_panel(&written->server, &config->net, &config->panel, report);
    build_record(&written->record, &config->record);
    build_lcc_links(&written->lcc, &config->net, &config->lcc, report);
    config->net.bridges = written->bridges.list.count;
    bool has_sums = true;
    for (unsigned i = 0; i < config->net.bridges; i++) {
        has_sums = add_bridge(written, i, config, report) && has_sums;
    }
    build_scene_check(config, report);
    build_lcc_check(&config->lcc, config->net.bridges, report);
    if (report->errors.count > report->misfits + report->missing ||
        (report->missing > 0 && !has_sums)) {
        memset(config, 0, sizeof *config);
    }
    return report->errors.count == 0;
}

/* --- text and files --- */

static bool read_tree(cJSON *tree, struct written_config *written, struct config *config,
                      struct config_report *report) {
    struct pointer pointer = {.length = 0};
    fields_read(&tables_config, tree, written, &pointer, report);
    units_of(&tables_config, tree, &config->units);
    return build_config(written, config, report);
}

bool config_read_text(const char *text, size_t length, struct config *config,
                      struct config_report *report) {
    struct error error;
    memset(config, 0, sizeof *config);
    memset(report, 0, sizeof *report);
    cJSON *tree = json_text_parse(text, length, &error);
    if (tree == NULL) {
        return config_list_add(&report->errors, error.where, "%s", error.what);
    }
    struct written_config *written = calloc(1, sizeof *written);
    bool is_usable = written != NULL ? read_tree(tree, written, config, report)
                                     : config_list_add(&report->errors, "",
                                                       "out of memory for reading a configuration");
    free(written);
    cJSON_Delete(tree);
    return is_usable;
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

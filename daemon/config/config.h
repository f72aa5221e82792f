/* config.h: the configuration of a daemon, read from a JSON file and checked whole before anything
 * is touched. Every mistake is reported in one run, each with its place. Keys, units and defaults:
 * config/README.md. Nothing is printed, and only config_read_file() touches the world. */
#ifndef CONFIG_CONFIG_H
#define CONFIG_CONFIG_H

#include "config/report.h"
#include "io/composite_setup.h"
#include "io/link_setup.h"
#include "io/simulation_setup.h"
#include "io/wired_setup.h"
#include "mechanics/balance.h"
#include "mechanics/drive.h"
#include "mechanics/lift.h"
#include "mechanics/motor.h"
#include "mechanics/sizing.h"
#include "net/setup.h"
#include "panel/setup.h"
#include "records/setup.h"

#include <stdbool.h>
#include <stddef.h>

/* What net_bridge_setup of the same index does not say. */
struct config_bridge {
    char output[32];      /* name of the driver (port_find()) */
    bool waits_for_power; /* its first request is to be REQUEST_POWER_OFF */
    bool has_lift; /* false: lifted by hand; lift, balance, drive, motor and supply are unset */
    struct lift lift;
    struct balance balance;
    struct drive drive;
    struct motor motor;
    double supply_v;
    double supply_a; /* what the supply can give; NAN: not said */
    bool has_simulation;
    bool has_lines; /* then output is "composite" */
    struct composite_setup composite;
    unsigned links;
    struct link_setup link[LINKS_MAX];
    bool has_wired;
    struct wired_setup wired;
    struct simulation_setup simulation; /* lift and the rest once more, as that driver wants them */
    struct sizing_given sizing;         /* and as the sizing report does; ends: track x 2 + end */
    char corner_name[SIZING_OUTLINE_MAX][NET_NAME_SIZE];
    char pocket_name[POCKETS_MAX][NET_NAME_SIZE];
};

/* No pointers: plain to copy, nothing to free. Some 250 KiB: not for the stack. */
struct config {
    struct net_setup net; /* net.bridge[i].setup is the core's setup of bridge i */
    struct config_bridge bridge[NET_BRIDGES_MAX]; /* net.bridges of them */
    struct panel_setup panel;
    struct record_setup record; /* record.file is empty: none is kept */
};

/* Each returns whether the configuration is usable: `report` has no errors (it may have warnings).
 * `config` and `report` are written whole. After an error `config` is all zero, and so
 * config->net.bridges is 0, unless all errors are misfits: then it is whole, for those who explain
 * what does not fit; it must not be run. */
bool config_read_file(const char *path, struct config *config, struct config_report *report);
bool config_read_text(const char *text, size_t length, struct config *config,
                      struct config_report *report);

/* The built-in demo, config/kettle-narrows.json as it was when the program was built. */
bool config_demo(struct config *config, struct config_report *report);
const char *config_demo_text(size_t *length);

#endif

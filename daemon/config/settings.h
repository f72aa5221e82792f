/* settings.h: a whole configuration, read and checked: what the rest of the daemon is built from.
 */
#ifndef CONFIG_SETTINGS_H
#define CONFIG_SETTINGS_H

#include "config/units.h"
#include "effects/scene/setup.h"
#include "effects/sound/setup.h"
#include "io/composite_setup.h"
#include "io/link/link_setup.h"
#include "io/nodes/nodes_setup.h"
#include "io/simulated/simulation_setup.h"
#include "io/wired/wired_setup.h"
#include "lcc/setup.h"
#include "mechanics/balance/balance.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/motor.h"
#include "mechanics/lift/lift.h"
#include "mechanics/sizing.h"
#include "net/setup.h"
#include "panel/setup.h"
#include "records/setup.h"
#include "stand/setup.h"

#include <stdbool.h>
#include <stddef.h>

/* What net_bridge_setup of the same index does not say. */
struct config_bridge {
    char output[32];      /* name of the driver (drivers_find()) */
    bool waits_for_power; /* its first request is to be REQUEST_POWER_OFF */
    bool has_lift; /* false: lifted by hand; lift, balance, drive, motor and supply are unset */
    struct lift lift;
    struct balance balance;
    struct drive drive;
    struct motor motor;
    double supply_v;
    bool is_throttle_voltage; /* what the panel's throttle sets; false: the speed */
    double supply_a;          /* what the supply can give; NAN: not said */
    bool has_simulation;
    bool has_lines; /* then output is "composite" */
    struct composite_setup composite;
    unsigned links;
    struct link_setup link[LINKS_MAX];
    bool has_nodes;
    struct nodes_setup nodes;
    bool has_wired;
    struct wired_setup wired;
    struct stand_setup stand;
    struct sound_setup sound;
    struct scene_setup scene;
    struct simulation_setup simulation; /* lift and the rest once more, as that driver wants them */
    struct sizing_given sizing;         /* and as the sizing report does; ends: track x 2 + end */
    char corner_name[SIZING_OUTLINE_MAX][NET_NAME_SIZE];
    char weight_corner_name[SIZING_OUTLINE_MAX][NET_NAME_SIZE];
    char pocket_name[POCKETS_MAX][NET_NAME_SIZE];
    char slide_name[SLIDES_MAX][NET_NAME_SIZE];
};

/* No pointers: plain to copy, nothing to free. Some 400 KiB: not for the stack. */
struct config {
    struct net_setup net; /* net.bridge[i].setup is the core's setup of bridge i */
    struct config_bridge bridge[NET_BRIDGES_MAX]; /* net.bridges of them */
    struct panel_setup panel;
    struct units units;         /* in which it is written */
    struct lcc_setup lcc;       /* lcc.bridge as bridge */
    struct record_setup record; /* record.file is empty: none is kept */
};

#endif

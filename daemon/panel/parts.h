/* parts.h: what the panel's parts share. Only for the files in this folder. */
#ifndef PANEL_PARTS_H
#define PANEL_PARTS_H

#include "panel/history/history.h"
#include "panel/http/door.h"
#include "panel/http/visitors.h"
#include "panel/live/live.h"
#include "panel/panel.h"

struct event;

struct panel {
    struct event_base *base;
    const struct config *config;
    struct panel_host host;
    unsigned doors;
    struct door door[PANEL_LISTENERS_MAX];
    struct live live;
    struct visitors visitors;
    struct history *history;             /* NULL until somebody asks */
    struct event *horn[NET_BRIDGES_MAX]; /* silences it; NULL until it is asked for */
    int32_t horn_who[NET_BRIDGES_MAX];
};

uint64_t panel_now_ms(const struct panel *panel);

/* Of the machine, ever on, while it sleeps as well. */
uint64_t panel_clock_us(void);

/* An event `news` for whoever listens. */
void panel_news(struct panel *panel, unsigned bridge, const char *kind, const char *words);

/* The index of the bridge on this bus, or -1. */
int panel_bridge_on_bus(const struct panel *panel, double bus);

#endif

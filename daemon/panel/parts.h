/* parts.h: a panel, made of its parts. Only for the files in this folder that put them together. */
#ifndef PANEL_PARTS_H
#define PANEL_PARTS_H

#include "panel/context.h"
#include "panel/history/history.h"
#include "panel/http/http_listener.h"
#include "panel/http/visitors.h"
#include "panel/live/live.h"

struct event;

struct panel {
    struct panel_context context;
    unsigned listeners;
    struct http_listener listener[PANEL_LISTENERS_MAX];
    struct live live;
    struct visitors visitors;
    struct history *history;             /* NULL until somebody asks */
    struct event *horn[NET_BRIDGES_MAX]; /* silences it; NULL until it is asked for */
    int32_t horn_who[NET_BRIDGES_MAX];
};

#endif

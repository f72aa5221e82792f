/* visitors.h: who has asked something, by address: each gets a number below 0, where protocol
 * sessions count from 1 up, so that the record can say who it was. */
#ifndef PANEL_VISITORS_H
#define PANEL_VISITORS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct panel_host;
struct sockaddr;

enum { VISITORS_MAX = 64, VISITORS_NAME_SIZE = 64 };

struct visitors {
    int32_t last; /* number given */
    unsigned next;
    struct visitor {
        int32_t who; /* 0: nobody */
        char name[VISITORS_NAME_SIZE];
    } visitor[VISITORS_MAX];
};

/* Returns the id of the client at this address (NULL: unknown); the host is notified of a new one,
 * and of the one that has to go for it. */
int32_t visitors_who(struct visitors *visitors, const struct panel_host *host,
                     const struct sockaddr *from, const char *right);

/* All go. */
void visitors_end(struct visitors *visitors, const struct panel_host *host);

/* "the panel at 192.168.7.12", "session 7", "LCC 2", "a local input". */
void visitors_name(const struct visitors *visitors, int32_t who, char *name, size_t size);

#endif

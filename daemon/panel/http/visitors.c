#include "panel/http/visitors.h"

#include "base/who.h"
#include "panel/host.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>

static void name_of(const struct sockaddr *from, char name[VISITORS_NAME_SIZE]) {
    snprintf(name, VISITORS_NAME_SIZE, "an unknown place");
    if (from != NULL && from->sa_family == AF_INET6) {
        inet_ntop(AF_INET6, &((const struct sockaddr_in6 *)(const void *)from)->sin6_addr, name,
                  VISITORS_NAME_SIZE);
    } else if (from != NULL && from->sa_family == AF_INET) {
        inet_ntop(AF_INET, &((const struct sockaddr_in *)(const void *)from)->sin_addr, name,
                  VISITORS_NAME_SIZE);
    }
}

static void end(struct visitor *visitor, const struct panel_host *host) {
    if (visitor->who != 0) {
        host->visitor(host->context, visitor->who, false, "");
        visitor->who = 0;
    }
}

int32_t visitors_who(struct visitors *visitors, const struct panel_host *host,
                     const struct sockaddr *from, const char *right) {
    char name[VISITORS_NAME_SIZE];
    name_of(from, name);
    for (unsigned i = 0; i < VISITORS_MAX; i++) {
        if (visitors->visitor[i].who != 0 && strcmp(visitors->visitor[i].name, name) == 0) {
            return visitors->visitor[i].who;
        }
    }
    struct visitor *visitor = &visitors->visitor[visitors->next];
    visitors->next = (visitors->next + 1) % VISITORS_MAX;
    end(visitor, host);
    visitors->last = visitors->last > WHO_VISITOR_LEAST ? visitors->last - 1 : -1;
    visitor->who = visitors->last;
    memcpy(visitor->name, name, sizeof visitor->name);
    char words[VISITORS_NAME_SIZE + 48];
    snprintf(words, sizeof words, "panel, may %s, at %s", right, name);
    host->visitor(host->context, visitor->who, true, words);
    return visitor->who;
}

void visitors_end(struct visitors *visitors, const struct panel_host *host) {
    for (unsigned i = 0; i < VISITORS_MAX; i++) {
        end(&visitors->visitor[i], host);
    }
}

void visitors_name(const struct visitors *visitors, int32_t who, char *name, size_t size) {
    char words[WHO_WORDS_SIZE];
    who_words(who, words);
    snprintf(name, size, "%s", who == 0 ? "a local input" : words);
    for (unsigned i = 0; who < 0 && i < VISITORS_MAX; i++) {
        if (visitors->visitor[i].who == who) {
            snprintf(name, size, "the panel at %s", visitors->visitor[i].name);
        }
    }
}

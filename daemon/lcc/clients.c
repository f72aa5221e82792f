#include "lcc/clients.h"

#include "base/log.h"
#include "sockets/endpoint.h"

#include <arpa/inet.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct lcc_client {
    struct stream stream; /* first */
    struct clients *all;
    LIST_ENTRY(lcc_client) others;
};

static void forget(struct lcc_client *client) {
    LIST_REMOVE(client, others);
    client->all->count--;
    free(client);
}

static void ended(struct stream *stream, const char *why) {
    log_line(LOG_DEBUG, "LCC: %s: %s", stream->link.name, why);
    forget((struct lcc_client *)stream);
}

/* The first, second, fourth, eighth ... is logged. */
static void refuse(struct clients *clients, int fd) {
    close(fd);
    clients->refused++;
    if ((clients->refused & (clients->refused - 1)) == 0) {
        log_line(LOG_WARNING, "LCC: %s port %u: %u clients refused: %u are already connected",
                 clients->listener.setup->address, listener_port(&clients->listener),
                 clients->refused, clients->count);
    }
}

static void name_of(const unsigned char address[16], char name[LCC_LINK_NAME_SIZE]) {
    static const unsigned char mapped[12] = {[10] = 0xff, [11] = 0xff};
    char text[INET6_ADDRSTRLEN];
    if (memcmp(address, mapped, sizeof mapped) == 0) {
        inet_ntop(AF_INET, address + sizeof mapped, text, sizeof text);
    } else {
        inet_ntop(AF_INET6, address, text, sizeof text);
    }
    snprintf(name, LCC_LINK_NAME_SIZE, "client at %s", text);
}

static void accepted(void *context, struct listener *listener, int fd,
                     const unsigned char address[16]) {
    struct clients *clients = context;
    char name[LCC_LINK_NAME_SIZE];
    if (clients->count >= listener->setup->sessions_max) {
        refuse(clients, fd);
        return;
    }
    struct lcc_client *client = calloc(1, sizeof *client);
    if (client == NULL) {
        close(fd);
        return;
    }
    client->all = clients;
    name_of(address, name);
    LIST_INSERT_HEAD(&clients->list, client, others);
    clients->count++;
    if (!stream_open(&client->stream, clients->bus, fd, name, listener->setup->right, false,
                     ended)) {
        forget(client);
    }
}

bool clients_open(struct clients *clients, struct bus *bus, const struct net_listener_setup *setup,
                  struct error *error) {
    clients->bus = bus;
    LIST_INIT(&clients->list);
    return listener_open(&clients->listener, bus->base, &bus->sockets, setup, accepted, clients,
                         error);
}

void clients_close(struct clients *clients) {
    struct lcc_client *client;
    while ((client = LIST_FIRST(&clients->list)) != NULL) {
        stream_close(&client->stream);
        forget(client);
    }
    listener_close(&clients->listener);
}

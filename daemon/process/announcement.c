#include "process/announcement.h"

#include "base/network.h"
#include "base/text/xml.h"

#include <stdint.h>

/* Service types: `_http._tcp` is registered (IANA's registry of service names). `_openlcb-can._tcp`
 * is what the TCP draft of that standard names. Nobody has registered one for SRCP; the protocol's
 * own name is used. All three from memory. */
static const char srcp[] = "_srcp._tcp";
static const char http[] = "_http._tcp";
static const char lcc[] = "_openlcb-can._tcp";

struct announcement {
    FILE *out;
    const char *name; /* of the first bridge */
    unsigned services;
};

static void begin(struct announcement *announcement) {
    fputs("<?xml version=\"1.0\" standalone=\"no\"?>\n"
          "<!DOCTYPE service-group SYSTEM \"avahi-service.dtd\">\n"
          "<!-- Made by drawtenderd, dns-sd option, from its configuration: make it anew when that "
          "changes. -->\n"
          "<service-group>\n"
          "  <name replace-wildcards=\"yes\">",
          announcement->out);
    xml_print(announcement->out, announcement->name);
    fputs(" on %h</name>\n", announcement->out);
}

static void add(struct announcement *announcement, const char *address, uint16_t port,
                const char *type, const char *text) {
    if (network_is_own_machine(address)) {
        return;
    }
    if (announcement->services++ == 0) {
        begin(announcement);
    }
    fprintf(announcement->out, "  <service>\n    <type>%s</type>\n    <port>%u</port>\n", type,
            port);
    if (text != NULL) {
        fprintf(announcement->out, "    <txt-record>%s</txt-record>\n", text);
    }
    fputs("  </service>\n", announcement->out);
}

bool announcement_print(FILE *out, const struct config *config) {
    struct announcement announcement = {.out = out, .name = config->net.bridge[0].name};
    for (unsigned i = 0; i < config->panel.listeners; i++) {
        const struct panel_listener_setup *panel = &config->panel.listener[i];
        add(&announcement, panel->address, panel->port, http, "path=/");
    }
    for (unsigned i = 0; i < config->net.listeners; i++) {
        add(&announcement, config->net.listener[i].address, config->net.listener[i].port, srcp,
            NULL);
    }
    for (unsigned i = 0; i < config->lcc.listeners; i++) {
        add(&announcement, config->lcc.listener[i].address, config->lcc.listener[i].port, lcc,
            NULL);
    }
    if (announcement.services > 0) {
        fputs("</service-group>\n", out);
    }
    return announcement.services > 0;
}

/* Networks that clients may come from. */
#include "config/build/build.h"

#include <arpa/inet.h>
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { IPV4_BEFORE = 96 }; /* bits of struct network before those of IPv4 */

/* Whole and decimal, at most `most`; what follows the "/". */
static bool read_bits(const char *text, unsigned most, unsigned *bits) {
    char *end;
    if (!isdigit((unsigned char)text[0])) {
        return false;
    }
    unsigned long value = strtoul(text, &end, 10);
    *bits = (unsigned)value;
    return *end == '\0' && value <= most;
}

/* The bits beyond those that count must be zero, or somebody meant something else. */
static bool is_rest_zero(const struct network *network) {
    for (unsigned bit = network->bits; bit < 8 * sizeof network->address; bit++) {
        if (network->address[bit / 8] & 0x80 >> bit % 8) {
            return false;
        }
    }
    return true;
}

/* "192.168.7.0/24", "fd00::/8", "192.168.7.12". */
static bool read_network(char *word, struct network *network) {
    memset(network, 0, sizeof *network);
    char *slash = strchr(word, '/');
    if (slash != NULL) {
        *slash = '\0';
    }
    unsigned bits = 128;
    if (inet_pton(AF_INET6, word, network->address) == 1) {
        network->bits = 128;
    } else if (inet_pton(AF_INET, word, network->address + 12) == 1) {
        memset(network->address + 10, 0xff, 2);
        network->bits = 32;
    } else {
        return false;
    }
    unsigned before = network->bits == 32 ? IPV4_BEFORE : 0;
    bits = network->bits;
    if (slash != NULL && !read_bits(slash + 1, network->bits, &bits)) {
        return false;
    }
    network->bits = bits + before;
    return is_rest_zero(network);
}

unsigned build_networks(const char *written, const char *place, struct network *network,
                        unsigned most, struct config_report *report) {
    unsigned networks = 0;
    while (*written != '\0') {
        size_t length = strcspn(written, " \t");
        char word[64];
        if (length > 0 && networks == most) {
            config_list_add(&report->errors, place, "found more than %u networks", most);
            return networks;
        }
        if (length > 0) {
            bool is_read = length < sizeof word;
            snprintf(word, sizeof word, "%.*s", (int)length, written);
            if (!is_read || !read_network(word, &network[networks])) {
                config_list_add(&report->errors, place,
                                "cannot read \"%.*s\" as a network: wanted one such as "
                                "\"192.168.7.0/24\" or \"fd00::/8\", with zeros beyond the bits "
                                "that count",
                                length > 60 ? 60 : (int)length, written);
            } else {
                networks++;
            }
        }
        written += length + strspn(written + length, " \t");
    }
    return networks;
}

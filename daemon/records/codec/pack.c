#include "records/codec/pack.h"

#include <stdlib.h>
#include <string.h>

enum { ROOM_FIRST = 4096, GROUP = 7, BYTE = 8 };

static bool make_room(struct pack *pack) {
    if (pack->size < pack->room) {
        return !pack->has_failed;
    }
    size_t room = pack->room > 0 ? 2 * pack->room : ROOM_FIRST;
    unsigned char *data = pack->has_failed ? NULL : realloc(pack->data, room);
    if (data == NULL) {
        pack->has_failed = true;
        return false;
    }
    pack->data = data;
    pack->room = room;
    return true;
}

void pack_byte(struct pack *pack, unsigned char byte) {
    if (make_room(pack)) {
        pack->data[pack->size++] = byte;
    }
}

void pack_count(struct pack *pack, uint64_t count) {
    for (; count >> GROUP != 0; count >>= GROUP) {
        pack_byte(pack, (unsigned char)(count | 1u << GROUP));
    }
    pack_byte(pack, (unsigned char)count);
}

void pack_number(struct pack *pack, double number) {
    uint64_t bits;
    memcpy(&bits, &number, sizeof bits);
    for (size_t i = 0; i < sizeof bits; i++) {
        pack_byte(pack, (unsigned char)(bits >> BYTE * i));
    }
}

void pack_clear(struct pack *pack) {
    pack->size = 0;
    pack->has_failed = false;
}

void pack_free(struct pack *pack) {
    free(pack->data);
    *pack = (struct pack){0};
}

static void fail(struct unpack *unpack) {
    unpack->has_failed = true;
    unpack->left = 0;
}

unsigned char unpack_byte(struct unpack *unpack) {
    if (unpack->left == 0) {
        fail(unpack);
        return 0;
    }
    unpack->left--;
    return *unpack->at++;
}

uint64_t unpack_count(struct unpack *unpack, uint64_t most) {
    uint64_t count = 0;
    for (unsigned shift = 0; shift < 64; shift += GROUP) {
        unsigned char byte = unpack_byte(unpack);
        count |= (uint64_t)(byte & ((1u << GROUP) - 1)) << shift;
        if (byte >> GROUP == 0) {
            break;
        }
    }
    if (count > most) {
        fail(unpack);
    }
    return unpack->has_failed ? 0 : count;
}

double unpack_number(struct unpack *unpack) {
    uint64_t bits = 0;
    for (size_t i = 0; i < sizeof bits; i++) {
        bits |= (uint64_t)unpack_byte(unpack) << BYTE * i;
    }
    double number = 0;
    if (!unpack->has_failed) {
        memcpy(&number, &bits, sizeof number);
    }
    return number;
}

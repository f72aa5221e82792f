/* lift_pair.h: two real daemons, as daemon_pair.h: Kettle Narrows, whose lift, span lock and
 * signals are accessories of a yard's daemon, and that yard. So another process sees every output
 * of a bridge, whatever becomes of its daemon. The accessories are home signals of tracks without
 * trains; the leaf itself is simulated beside them. */
#ifndef SUPPORT_LIFT_PAIR_H
#define SUPPORT_LIFT_PAIR_H

#include "support/daemon/daemon_config.h"
#include "support/daemon/daemon_pair.h"

/* Addresses of the yard's accessories. */
#define LIFT_SIGNAL_WEST "11"
#define LIFT_SIGNAL_EAST "12"
#define LIFT_RAISE "14"
#define LIFT_LOWER "15"
#define LIFT_DRIVE "16"
#define LIFT_WITHDRAW "17"

/* Starts the yard on `port` (0: a free one). */
void lift_pair_start_yard(struct daemon_pair *pair, uint16_t port);

/* Waits until the yard is in order, and switches its power on. */
void lift_pair_await_yard(struct daemon_pair *pair);

/* The configuration of the bridge, for daemon_pair_start_bridge(). */
cJSON *lift_pair_config(void);

/* Asserts, or waits, that the yard's accessory is on (1) or off (0). */
void lift_pair_expect(struct daemon_pair *pair, const char *address, int is_on);
void lift_pair_wait(struct daemon_pair *pair, const char *address, int is_on);

/* Asks for it until the bridge is lined and its signals show proceed. */
void lift_pair_line(struct daemon_pair *pair);

#endif

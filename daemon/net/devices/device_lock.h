/* device_lock.h: LOCK. A session keeps the others from setting a device for a while, or until it
 * ends. Beside that the bridge's own hold on a signal or the span is shown, as a lock of session 0;
 * it bars nobody here: the bridge itself refuses what must not be. A session's lock hides it. */
#ifndef NET_DEVICE_LOCK_H
#define NET_DEVICE_LOCK_H

#include "net/registry.h"

bool device_lock_init(struct net_device *device);
void device_lock_free(struct net_device *device);

/* Whether somebody other than this session holds the device's lock. */
bool device_lock_is_others(const struct net_device *device, int32_t session);

/* Takes or renews. `duration_s` 0: without end. */
void device_lock_take(struct net_device *device, int32_t session, int32_t duration_s);

/* Nothing happens if nobody holds it. */
void device_lock_release(struct net_device *device);

/* The locks of one session; of all of them, for 0. */
void device_lock_release_all(struct net_server *server, int32_t session);

/* The bridge took hold of the device, or let it go. */
void device_lock_see(struct net_device *device, bool is_held);

/* Somebody holds it: there is a line to tell. */
bool device_lock_is_shown(const struct net_device *device);

/* Layout seconds left, rounded up; 0: without end, or nobody. */
int32_t device_lock_left_s(const struct net_device *device);

#endif

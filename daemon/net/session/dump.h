/* dump.h: what an INFO session is told first: how everything stands. Bus by bus from 0;
 * DESCRIPTION, then each device's set-up (101) before its state (100), then POWER and LOCK; bus 0
 * has SERVER, SESSION and TIME. Generic messages close it, one PHASE a bus at the end. */
#ifndef NET_DUMP_H
#define NET_DUMP_H

struct session;

void dump_send(struct session *session);

#endif

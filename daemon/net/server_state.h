/* server_state.h: RESET and TERM of the server. */
#ifndef NET_SERVER_STATE_H
#define NET_SERVER_STATE_H

struct net_server;

/* Releases all locks and stops the model clock. */
void server_state_reset(struct net_server *server);

/* Closes the listeners and ends every session; the last connection to go stops the daemon. */
void server_state_terminate(struct net_server *server);

#endif

/* loopback.h: clients with addresses of their own, as if they were other machines: the whole of
 * 127.0.0.0/8 leads here. */
#ifndef SUPPORT_LOOPBACK_H
#define SUPPORT_LOOPBACK_H

/* Before connect(). `from`: "127.0.0.2"; NULL: the usual one. */
void loopback_bind(int fd, const char *from);

#endif

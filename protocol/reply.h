/* reply.h: every line that the server sends, from typed values.
 * Each function writes one line with its LF and a NUL into `out`, which must have SRCP_REPLY_SIZE
 * bytes, and returns its length without the NUL. No line is longer than SRCP_LINE_MAX: free text
 * that does not fit is cut. Bytes of free text that are not printable ASCII go out as '?' (one for
 * each UTF-8 character), line ends included: no text can forge a line.
 * `time_us` is the time stamp, in microseconds since whatever the caller counts from. */
#ifndef PROTOCOL_REPLY_H
#define PROTOCOL_REPLY_H

#include "protocol/code.h"
#include "protocol/line.h"
#include "protocol/names.h"
#include "protocol/text.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SRCP_REPLY_SIZE = SRCP_LINE_MAX + 1 };

enum srcp_server_state { SRCP_RUNNING = 0, SRCP_RESETTING, SRCP_TERMINATING, SRCP_SERVER_STATES };

/* "drawtender <version>; SRCP 0.8.4; SRCPOTHER 0.8.3", the one line without a time stamp. */
size_t srcp_welcome(char *out, const char *version);

/* A fixed text: 200 OK and every ERROR. A code without one (SRCP_NO_FAULT, 100 to 102) goes out as
 * 499. */
size_t srcp_reply(char *out, uint64_t time_us, enum srcp_code code);

/* 200 OK GO <session-id> */
size_t srcp_reply_go(char *out, uint64_t time_us, int32_t session);

/* 100 INFO <bus> DESCRIPTION <group> ...; `groups` is a set of bits 1u << enum srcp_group. */
size_t srcp_info_description(char *out, uint64_t time_us, unsigned bus, unsigned groups);

/* 101 INFO <bus> <group> <address> P [<words>]: a device of group GA or FB, set up by the
 * configuration; the words say what it is. None ever goes. */
size_t srcp_info_device(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                        int32_t address, struct srcp_text words);

/* 100 INFO <bus> GA <address> <port> <value> */
size_t srcp_info_ga(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t port,
                    int32_t value);

/* 100 INFO <bus> FB <address> <value> */
size_t srcp_info_fb(char *out, uint64_t time_us, unsigned bus, int32_t address, int32_t value);

/* 101 INFO <bus> POWER; 100 INFO <bus> POWER ON|OFF [<text>] */
size_t srcp_info_power_device(char *out, uint64_t time_us, unsigned bus);
size_t srcp_info_power(char *out, uint64_t time_us, unsigned bus, bool is_on,
                       struct srcp_text text);

/* 100 INFO <bus> LOCK <group> <address> <duration> <session-id>: seconds left, 0 without end;
 * nobody holds it, or the server itself: session 0.
 * 102 INFO <bus> LOCK <group> <address> when it ends. */
size_t srcp_info_lock(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                      int32_t address, int32_t duration_s, int32_t session);
size_t srcp_info_lock_ended(char *out, uint64_t time_us, unsigned bus, enum srcp_group group,
                            int32_t address);

/* 101 INFO 0 TIME <fx> <fy>; 100 INFO 0 TIME <day> <hour> <minute> <second>; 102 INFO 0 TIME */
size_t srcp_info_time_rate(char *out, uint64_t time_us, int32_t fx, int32_t fy);
size_t srcp_info_time(char *out, uint64_t time_us, int32_t day, int32_t hour, int32_t minute,
                      int32_t second);
size_t srcp_info_time_ended(char *out, uint64_t time_us);

/* 101 INFO 0 SESSION <session-id> COMMAND|INFO, in info mode; 100 with the same words as the reply
 * to GET; 102 INFO 0 SESSION <session-id> when it ends. */
size_t srcp_info_session_begun(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode);
size_t srcp_info_session(char *out, uint64_t time_us, int32_t session, enum srcp_mode mode);
size_t srcp_info_session_ended(char *out, uint64_t time_us, int32_t session);

/* 100 INFO 0 SERVER RUNNING|RESETTING|TERMINATING */
size_t srcp_info_server(char *out, uint64_t time_us, enum srcp_server_state state);

/* 100 INFO 0 GM <send-to-id> <reply-to-id> <type> [<text>]; `type` is one word. */
size_t srcp_info_gm(char *out, uint64_t time_us, int32_t send_to, int32_t reply_to,
                    struct srcp_text type, struct srcp_text text);

#endif

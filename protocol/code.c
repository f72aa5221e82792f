#include "protocol/code.h"

#include <stddef.h>

static const struct {
    enum srcp_code code;
    const char *text;
} table[] = {
    {SRCP_INFO, "INFO"},
    {SRCP_INFO_INIT, "INFO"},
    {SRCP_INFO_TERM, "INFO"},
    {SRCP_DONE, "OK"},
    {SRCP_PROTOCOL_SET, "OK PROTOCOL SRCP"},
    {SRCP_MODE_SET, "OK CONNECTIONMODE"},
    {SRCP_UNSUPPORTED_PROTOCOL, "ERROR unsupported protocol"},
    {SRCP_UNSUPPORTED_MODE, "ERROR unsupported connection mode"},
    {SRCP_INSUFFICIENT_DATA, "ERROR insufficient data"},
    {SRCP_UNKNOWN_COMMAND, "ERROR unknown command"},
    {SRCP_UNKNOWN_VALUE, "ERROR unknown value"},
    {SRCP_WRONG_VALUE, "ERROR wrong value"},
    {SRCP_PROHIBITED, "ERROR temporarily prohibited"},
    {SRCP_LOCKED, "ERROR device locked"},
    {SRCP_FORBIDDEN, "ERROR forbidden"},
    {SRCP_NO_DATA, "ERROR no data"},
    {SRCP_TIMEOUT, "ERROR timeout"},
    {SRCP_LIST_TOO_LONG, "ERROR list too long"},
    {SRCP_LIST_TOO_SHORT, "ERROR list too short"},
    {SRCP_UNSUPPORTED_DEVICE_PROTOCOL, "ERROR unsupported device protocol"},
    {SRCP_UNSUPPORTED_DEVICE, "ERROR unsupported device"},
    {SRCP_UNSUPPORTED_GROUP, "ERROR unsupported device group"},
    {SRCP_UNSUPPORTED_OPERATION, "ERROR unsupported operation"},
    {SRCP_REINITIALIZED, "ERROR device reinitialized"},
    {SRCP_NOT_SUPPORTED, "ERROR not supported"},
    {SRCP_UNSPECIFIED_ERROR, "ERROR unspecified error"},
    {SRCP_OUT_OF_RESOURCES, "ERROR out of resources"},
};

const char *srcp_code_text(enum srcp_code code) {
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (table[i].code == code) {
            return table[i].text;
        }
    }
    return NULL;
}

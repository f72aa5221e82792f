#include "protocol/lcc/digit.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

static const char digits[] = "0123456789ABCDEF";

int lcc_digit_value(char c) {
    const char *at = c == '\0' ? NULL : strchr(digits, toupper((unsigned char)c));
    return at == NULL ? -1 : (int)(at - digits);
}

char lcc_digit(unsigned value) {
    return digits[value & 15];
}

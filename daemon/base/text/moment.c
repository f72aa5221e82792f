#include "base/text/moment.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { SECOND_US = 1000000 };

/* Whether it is a day and time that exist: mktime() would make the 1st of March of a 30th of
 * February. */
static bool is_real(const struct tm *written) {
    static const int days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int year = written->tm_year + 1900;
    bool is_leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return year >= 1970 && year <= 9999 && written->tm_mon >= 0 && written->tm_mon < 12 &&
           written->tm_mday >= 1 && written->tm_mday <= days[written->tm_mon] &&
           (written->tm_mon != 1 || written->tm_mday < 29 || is_leap) && written->tm_hour >= 0 &&
           written->tm_hour < 24 && written->tm_min >= 0 && written->tm_min < 60 &&
           written->tm_sec >= 0 && written->tm_sec < 60;
}

bool moment_parse(const char *text, uint64_t *at_us, struct error *error) {
    struct tm written;
    memset(&written, 0, sizeof written);
    int length = 0;
    int end[3] = {0, 0, 0};
    sscanf(text, "%4d-%2d-%2d%nT%2d:%2d%n:%2d%n", &written.tm_year, &written.tm_mon,
           &written.tm_mday, &end[0], &written.tm_hour, &written.tm_min, &end[1], &written.tm_sec,
           &end[2]);
    for (int i = 0; i < 3; i++) {
        length = end[i] > length ? end[i] : length;
    }
    written.tm_year -= 1900;
    written.tm_mon -= 1;
    written.tm_isdst = -1;
    time_t seconds =
        length > 0 && text[length] == '\0' && strpbrk(text, " +") == NULL && is_real(&written)
            ? mktime(&written)
            : (time_t)-1;
    if (seconds < 0) {
        return error_set(error, "",
                         "'%.40s' is not a date or time such as 2026-03-01 or 2026-03-01T12:00:05",
                         text);
    }
    *at_us = (uint64_t)seconds * SECOND_US;
    return true;
}

void moment_write(uint64_t at_us, char text[MOMENT_SIZE]) {
    time_t seconds = (time_t)(at_us / SECOND_US);
    struct tm local;
    memset(&local, 0, sizeof local);
    localtime_r(&seconds, &local);
    size_t length = strftime(text, MOMENT_SIZE, "%Y-%m-%dT%H:%M:%S", &local);
    snprintf(text + length, MOMENT_SIZE - length, ".%03u", (unsigned)(at_us % SECOND_US / 1000));
}

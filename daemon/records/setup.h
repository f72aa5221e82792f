/* setup.h: what is kept, where, and for how long. */
#ifndef RECORDS_SETUP_H
#define RECORDS_SETUP_H

#include <stdint.h>

enum { RECORD_FILE_SIZE = 256 };

struct record_setup {
    char file[RECORD_FILE_SIZE]; /* empty: no record is kept */
    uint64_t keep_us;            /* what is older goes */
    uint64_t most_bytes;         /* of the file; beyond it the oldest goes */
    uint64_t write_us;           /* what is not urgent is written at least this often */
    unsigned service_openings;   /* service is due after so many openings; 0: never */
    uint64_t service_us;         /* and after the lift has run so long; 0: never */
};

#endif

/* inputs.h: what the world shows. Inputs that the setup calls absent are ignored. */
#ifndef CORE_INPUTS_H
#define CORE_INPUTS_H

#include "core/data/level.h"
#include "core/data/setup.h"

#include <stdbool.h>
#include <stdint.h>

/* A gap in the looks longer than this while lift or lock are driven is a fault: a span at full
 * speed goes a few degrees in it (judgement, no source). */
enum { LATE_MOST_US = 1000000 };

/* While any time runs somebody looks at least this often, however long it is: or a gap within it
 * would pass for time in which something held (judgement, no source). */
enum { LOOK_PERIOD_US = 500000 };

struct track_end_inputs {
    enum level approach_clear;
    enum level standing;       /* ON: the train before the signal is seen to stand */
    enum level stop_clear;     /* the stop section */
    enum level signal_at_stop; /* the home signal is proved at stop */
    enum level stop_dead;      /* the stop section is proved without power */
};

struct track_inputs {
    struct track_end_inputs end[TRACK_ENDS];
    enum level span_clear;
    enum level span_dead;
};

struct bridge_inputs {
    enum level seated;
    enum level nearly_seated;
    enum level open;
    enum level nearly_open;
    enum level within_travel; /* the overtravel contact: OFF beyond the travel */
    enum level locked;
    enum level withdrawn;
    enum level rail[BRIDGE_RAILS_MAX];
    enum level stop_circuit;
    struct track_inputs track[BRIDGE_TRACKS_MAX];
    double position_frac; /* not finite: no reading */
    double current_a;     /* not finite: no reading */
    bool is_device_lost;  /* the port reports that outputs may not be obeyed */
    uint32_t late_us;     /* this look comes so much later than was planned; 0: in time */
};

#endif

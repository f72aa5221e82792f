/* line.pml: L1, in a world that obeys the bridge (loop.h). Each fair event is a process of its own,
 * so that weak fairness lets it happen in the end if it stays possible; trains that come, operators
 * and restarts are one more process that does what it likes, or nothing. The environment has the
 * bridge's name as SCENE. */

c_decl {
\#include "prove/spin_side.h"
}
c_track "&spin_loop" "sizeof(struct loop)" "Matched"

#define UP 1
#define DOWN 2

int possible;     /* events that can happen, a bit each */
byte asked;       /* what was granted and is not reached yet */
bool holds = true;
byte fair;
byte all;

inline go_on() {
    c_code {
        now.possible = spin_events_now();
        now.asked = spin_loop.asked;
    };
    assert(holds)
}

proctype event(byte number) {
    do
    :: atomic {
        (possible >> number) & 1 ->
        c_code { now.holds = spin_event(Pevent->number); };
        go_on()
    }
    od
}

proctype anybody() {
    byte number;
    do
    :: atomic {
        number = fair;
        do
        :: number + 1 < all -> number++
        :: break
        od;
        if
        :: (possible >> number) & 1 ->
            c_code { now.holds = spin_event(Panybody->number); };
            go_on()
        :: skip
        fi;
        number = 0
    }
    od
}

init {
    byte number;
    atomic {
        if
        :: c_code { spin_loop_begin(0); }
        :: c_code { spin_loop_begin(1); }
        :: c_code { spin_loop_begin(2); }
        :: c_code { spin_loop_begin(3); }
        fi;
        c_code {
            now.fair = spin_events_fair();
            now.all = spin_events();
        };
        go_on();
        do
        :: number < fair ->
            run event(number);
            number++
        :: else -> break
        od;
        run anybody();
        number = 0
    }
}

ltl raised_reaches_open { [] ((asked == UP) -> <> (asked != UP)) }
ltl lowered_reaches_lined { [] ((asked == DOWN) -> <> (asked != DOWN)) }

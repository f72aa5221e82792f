/* bridge.pml: a bridge in a world that may do anything. Spin chooses, one after another, every move
 * that the compiled bridge_step() can be given, and keeps every state; the C side (spin_side.h)
 * takes the step and judges S1 to S6, S8 and S9. The environment has the bridge's name as SCENE. */

c_decl {
\#include "prove/spin_side.h"
}
c_track "&spin_node" "sizeof(struct packed)" "Matched"

/* A move's number, put together from three digits to the base 64, so that the way to each is short.
 * At rest all are zero. */
int moves;
int high;
int middle;
int low;
bool holds = true;

active proctype bridge() {
    c_code { spin_begin(); };
    do
    :: atomic {
        c_code { now.moves = (int)spin_moves(); };
        do
        :: high + 4096 < moves -> high = high + 4096
        :: break
        od;
        do
        :: middle + 64 < 4096 && high + middle + 64 < moves -> middle = middle + 64
        :: break
        od;
        do
        :: low + 1 < 64 && high + middle + low + 1 < moves -> low++
        :: break
        od;
        c_code {
            now.holds = spin_take((unsigned)(now.high + now.middle + now.low));
            now.moves = now.high = now.middle = now.low = 0;
        };
        assert(holds)
    }
    od
}

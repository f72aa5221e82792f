#include "tools/drawtender/describe/lift_drawing.h"

#include <stddef.h>
#include <string.h>

static const struct {
    const char *kind, *caption, *drawing;
} drawings[] = {
    {"hand", "a person lifts it; switches only report where it is",
     "              o____________________      o axis\n"
     "             /|        span       |      \n"
     "    ========  |                   =======  rails\n"},
    {"sector", "a pinion drives a toothed arc that is fixed to the span",
     "     [counter-]\n"
     "     [ weight ]___o___________________   o axis\n"
     "          (     .'|      span         |\n"
     "     (*)  ( ..'                       =======\n"
     "    pinion ^ toothed sector\n"},
    {"strut", "a pinion pulls and pushes a rack (the strut) that is pinned to the span",
     "    (*)======strut=======.\n"
     "   pinion                 o pin\n"
     "   on the     ___o________|___________   o axis\n"
     "   tower   [cw]  |      span          |\n"
     "                                      =======\n"},
    {"rolling", "the span rolls back on a curved tread; a pinion and a straight rack move it",
     "       ======(*)====  rack and pinion\n"
     "     [cw]  .----.____________________\n"
     "          (  +   )     span          |    + roll centre\n"
     "    _______`-__-'____                =======\n"
     "             track\n"},
    {"vertical", "ropes lift the span level, counterweights hang on the far side",
     "      (o)----------------(o)   sheaves\n"
     "   [cw]|                  |[cw]\n"
     "       |______span________|\n"
     "    ===                    ===\n"
     "   (drum winds a rope)\n"},
    {"swing", "the span turns about an upright post (seen from above)",
     "             .-ring-.\n"
     "    ________/________\\_________\n"
     "    ___span____( + )___________|   + post\n"
     "            \\  (*)   /\n"
     "             `------'   pinion\n"},
};

void lift_drawing_print(FILE *out, const char *kind_or_null) {
    for (size_t i = 0; i < sizeof drawings / sizeof drawings[0]; i++) {
        if (kind_or_null == NULL || strcmp(kind_or_null, drawings[i].kind) == 0) {
            fprintf(out, "\n  %s: %s\n%s", drawings[i].kind, drawings[i].caption,
                    drawings[i].drawing);
        }
    }
    fputc('\n', out);
}

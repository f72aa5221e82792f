#include "mechanics/doubt.h"

#include <math.h>

/* Where one way cannot be, the other is taken to count for both, straight on. */
static double or_mirrored(double change, double other) {
    return isnan(change) ? -other : change;
}

static void note_cause(struct doubt *doubt, double towards, double away, unsigned input) {
    if (towards > doubt->greatest[0] || (doubt->greatest[0] == 0 && away > doubt->greatest[1])) {
        doubt->cause = input;
    }
    doubt->greatest[0] = fmax(doubt->greatest[0], towards);
    doubt->greatest[1] = fmax(doubt->greatest[1], away);
}

void doubt_add(struct doubt *doubt, double margin, double low, double high, unsigned input) {
    double down = or_mirrored(low - margin, high - margin);
    double up = or_mirrored(high - margin, low - margin);
    if (isnan(down) || isnan(up)) {
        return; /* neither way can be, or the margin is endless and stays so */
    }
    double less = fmax(0, -fmin(down, up));
    double more = fmax(0, fmax(down, up));
    doubt->less = hypot(doubt->less, less);
    doubt->more = hypot(doubt->more, more);
    note_cause(doubt, margin >= 0 ? less : more, margin >= 0 ? more : less, input);
}

double doubt_towards(const struct doubt *doubt, double margin) {
    return margin >= 0 ? doubt->less : doubt->more;
}

bool doubt_reaches(const struct doubt *doubt, double margin) {
    return doubt->cause > 0 && fabs(margin) < doubt_towards(doubt, margin);
}

double doubt_wider(const struct doubt *doubt) {
    double less = isfinite(doubt->less) ? doubt->less : 0;
    double more = isfinite(doubt->more) ? doubt->more : 0;
    return fmax(less, more);
}

/* seats.h: what the toe's seat and the axis carry with a train on the seated span, where the train
 * stands worst. Pure: no I/O, no allocation. SI units.
 *
 * The span is a beam on two supports, axis and toe, the train an even load (statics; influence
 * lines as in any textbook on structures). A train behind the axis lifts the toe. Both ends of a
 * vertical lift are seats: then the axis stands for the other one. */
#ifndef MECHANICS_SEATS_H
#define MECHANICS_SEATS_H

struct seats_train {
    double mass_kg;
    double length_m;
    double from_m, to_m; /* its rails on the span, from the axis toward the toe; from < to */
};

/* With the toe's seat at `toe_m` from the axis. */
double seats_toe_most_n(const struct seats_train *train, double toe_m);
/* Returns 0 or less: what the train takes off the toe's seat. */
double seats_toe_least_n(const struct seats_train *train, double toe_m);
double seats_axis_most_n(const struct seats_train *train, double toe_m);

#endif

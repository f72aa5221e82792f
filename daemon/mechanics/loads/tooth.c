#include "mechanics/loads/tooth.h"

#include <stddef.h>

static const struct {
    unsigned teeth;
    double form;
} table[] = {
    {10, 0.201}, {12, 0.245},  {13, 0.261},  {14, 0.277},  {15, 0.290}, {16, 0.296}, {17, 0.303},
    {18, 0.309}, {19, 0.314},  {20, 0.322},  {21, 0.328},  {22, 0.331}, {24, 0.337}, {26, 0.346},
    {28, 0.353}, {30, 0.359},  {34, 0.371},  {38, 0.384},  {43, 0.397}, {50, 0.409}, {60, 0.422},
    {75, 0.435}, {100, 0.447}, {150, 0.460}, {300, 0.472},
};
enum { LAST = sizeof table / sizeof table[0] - 1 };

double tooth_form(unsigned teeth) {
    if (teeth < table[0].teeth) {
        return table[0].form * teeth / table[0].teeth;
    }
    for (size_t i = 0; i < LAST; i++) {
        if (teeth <= table[i + 1].teeth) {
            double step = table[i + 1].teeth - table[i].teeth;
            double share = (teeth - table[i].teeth) / step;
            return table[i].form + share * (table[i + 1].form - table[i].form);
        }
    }
    return table[LAST].form;
}

double tooth_stress_pa(double force_n, double face_m, double module_m, unsigned teeth) {
    return force_n / (face_m * module_m * tooth_form(teeth));
}

double tooth_force_n(double strength_pa, double face_m, double module_m, unsigned teeth) {
    return strength_pa * face_m * module_m * tooth_form(teeth);
}

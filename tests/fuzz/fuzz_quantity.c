/* Quantities: a text is a finite number of the wanted unit, or an error that says why. */
#include "config/reader/quantity.h"
#include "fuzz/fuzz.h"

#include <math.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char text[256];
    if (size == 0 || size > sizeof text) {
        return 0;
    }
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    double value = -1;
    struct error error = {.what = ""};
    if (quantity_read(text, (enum quantity)(data[0] % QUANTITIES), &value, &error)) {
        FUZZ_HOLDS(isfinite(value));
    } else {
        FUZZ_HOLDS(value == -1 && error.what[0] != '\0');
    }
    return 0;
}

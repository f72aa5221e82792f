#include "io/kernel/iio.h"

#include <stdio.h>
#include <string.h>

struct name {
    char text[64];
};

static struct name name_of(const char *channel, const char *what) {
    struct name name;
    snprintf(name.text, sizeof name.text, "in_%.40s_%s", channel, what);
    return name;
}

/* "voltage" of "voltage3": several channels may share one scale. */
static struct name kind_of(const char *channel) {
    struct name kind;
    snprintf(kind.text, sizeof kind.text, "%.*s", (int)strcspn(channel, "0123456789"), channel);
    return kind;
}

/* Of the channel itself, or of its kind. Returns false where there is neither. */
static bool find_shared(const struct iio *iio, const char *channel, const char *what,
                        struct name *name) {
    *name = name_of(channel, what);
    if (attribute_is_there(iio->folder, name->text)) {
        return true;
    }
    *name = name_of(kind_of(channel).text, what);
    return attribute_is_there(iio->folder, name->text);
}

bool iio_open(struct iio *iio, const char *device, const char *channel, struct error *error) {
    struct name name;
    *iio = (struct iio){.offset = 0};
    if (!attribute_find(IIO_CLASS, device, iio->folder, error)) {
        return false;
    }
    snprintf(iio->raw, sizeof iio->raw, "%s", name_of(channel, "raw").text);
    if (find_shared(iio, channel, "offset", &name) &&
        !attribute_number(iio->folder, name.text, &iio->offset, error)) {
        return false;
    }
    if (!find_shared(iio, channel, "scale", &name)) {
        return error_set(error, iio->folder, "channel \"%s\" has no scale", channel);
    }
    double value;
    return attribute_number(iio->folder, name.text, &iio->scale, error) &&
           iio_read(iio, &value, error);
}

bool iio_read(const struct iio *iio, double *value, struct error *error) {
    double raw;
    if (!attribute_number(iio->folder, iio->raw, &raw, error)) {
        return false;
    }
    *value = (raw + iio->offset) * iio->scale / 1000;
    return true;
}

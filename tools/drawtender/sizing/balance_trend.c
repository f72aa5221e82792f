/* Opening after opening: rising friction or a shifted balance, told from normal scatter. */
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/balance.h"

static const struct {
    const char *name, *friction, *moment;
} words[] = {
    [TREND_TOO_FEW] = {"too-few", "too few openings to tell", "too few openings to tell"},
    [TREND_STEADY] = {"steady", "within its usual scatter", "within its usual scatter"},
    [TREND_RISING] = {"rising", "friction rises: bearings, gears, grease, something that rubs",
                      "the span gets heavier: water, ballast, or blocks that come off the tail"},
    [TREND_FALLING] = {"falling", "friction falls: the drive has run in, or was greased",
                       "the span gets lighter: parts lost from it, or added at the tail"},
    [TREND_STEP_UP] = {"step-up", "the last opening had more friction than the scatter explains",
                       "the balance has shifted: the span is heavier since the last opening"},
    [TREND_STEP_DOWN] = {"step-down",
                         "the last opening had less friction than the scatter explains",
                         "the balance has shifted: the span is lighter since the last opening"},
};

static bool is_changed(const struct trend_found *found) {
    return found->trend != TREND_STEADY && found->trend != TREND_TOO_FEW;
}

static void add_json(cJSON *object, const char *name, const double *values, size_t count,
                     const struct trend_found *found) {
    cJSON *one = cJSON_AddObjectToObject(object, name);
    cJSON_AddItemToObject(one, "values", cJSON_CreateDoubleArray(values, (int)count));
    cJSON_AddStringToObject(one, "trend", words[found->trend].name);
    cJSON_AddNumberToObject(one, "slope", found->slope);
    cJSON_AddNumberToObject(one, "slope_error", found->slope_error);
    cJSON_AddNumberToObject(one, "mean_before", found->mean);
    cJSON_AddNumberToObject(one, "deviation_before", found->deviation);
}

enum { OPENINGS_MAX = OPTIONS_WORDS_MAX };

struct series {
    size_t count;
    double moment[OPENINGS_MAX], friction[OPENINGS_MAX];
};

static enum outcome fit_all(struct balance_run *run, const char *const paths[], size_t count,
                            struct series *series) {
    const struct balance_weight none = {0};
    for (size_t i = 0; i < count; i++) {
        struct balance_test test;
        size_t dropped;
        run->samples.count = 0;
        if (!samples_read(paths[i], false, &run->samples, &run->tool->error)) {
            return OUTCOME_CONFIGURATION;
        }
        const char *wrong = balance_fit_run(run, &none, &test, &dropped);
        if (wrong != NULL) {
            error_set(&run->tool->error, "", "%.100s: %s", paths[i], wrong);
            return OUTCOME_REFUSED;
        }
        series->moment[series->count] = test.cosine_n_m.value;
        series->friction[series->count++] = test.friction_n_m.value;
    }
    return OUTCOME_DONE;
}

static void print_text(const struct balance_run *run, const struct series *series,
                       const struct trend_found *moment, const struct trend_found *friction) {
    FILE *out = run->tool->streams.out;
    struct units_unit unit = units_unit(&run->config.units, UNITS_MOMENT);
    fprintf(out, "  opening   moment, %s   friction, %s\n", unit.name, unit.name);
    for (size_t i = 0; i < series->count; i++) {
        fprintf(out, "  %7zu %13.2f %15.2f\n", i + 1, series->moment[i] * unit.per_si,
                series->friction[i] * unit.per_si);
    }
    fprintf(out, "friction: %s (%+.3f +- %.3f %s an opening)\n", words[friction->trend].friction,
            friction->slope * unit.per_si, friction->slope_error * unit.per_si, unit.name);
    fprintf(out, "balance: %s (%+.3f +- %.3f %s an opening)\n", words[moment->trend].moment,
            moment->slope * unit.per_si, moment->slope_error * unit.per_si, unit.name);
}

enum outcome balance_trend(struct balance_run *run, const char *const paths[], size_t count) {
    struct series series = {.count = 0};
    enum outcome outcome = fit_all(run, paths, count, &series);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    struct trend_found moment = trend_of(series.moment, series.count);
    struct trend_found friction = trend_of(series.friction, series.count);
    run->tool->has_printed = true;
    if (run->tool->options->is_json) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddStringToObject(object, "bridge", run->net->name);
        add_json(object, "moment_n_m", series.moment, series.count, &moment);
        add_json(object, "friction_n_m", series.friction, series.count, &friction);
        json_print(run->tool->streams.out, object);
    } else {
        print_text(run, &series, &moment, &friction);
    }
    if (is_changed(&moment) || is_changed(&friction)) {
        error_set(&run->tool->error, "", "%s has changed",
                  !is_changed(&moment)     ? "the friction"
                  : !is_changed(&friction) ? "the balance"
                                           : "balance and friction");
        return OUTCOME_REFUSED;
    }
    return OUTCOME_DONE;
}

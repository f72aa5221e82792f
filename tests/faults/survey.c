#include "faults/survey.h"

#include "core/words/names.h"

#include <math.h>
#include <string.h>

void survey_run(struct survey *survey, enum fault_bridge bridge, uint32_t debounce_us,
                unsigned stride) {
    static struct stage stage;
    const struct bridge_defect *defects = catalog_defects(bridge, &survey->defects);
    survey->bridge = bridge;
    unsigned number = 0;
    memset(survey->was_tried, 0, sizeof survey->was_tried);
    stage_set(&stage, bridge, debounce_us);
    for (unsigned d = 0; d < survey->defects; d++) {
        for (unsigned m = 0; m < MOMENTS; m++) {
            for (unsigned t = 0; t < TRAIN_SCENES; t++) {
                if (stage_has(&stage, (enum moment)m, (enum trains)t) && number++ % stride == 0) {
                    survey->outcome[d][m][t] = trial_run(&stage, (enum moment)m, (enum trains)t,
                                                         &defects[d], NULL, 0, true);
                    survey->was_tried[d][m][t] = true;
                }
            }
        }
    }
}

static const char *wrong_of(const struct bridge_defect *defect, const struct outcome *outcome) {
    if (outcome->broken != NULL) {
        return outcome->broken;
    }
    if (outcome->end == END_HUNG || (outcome->is_dark && outcome->wait == WAIT_NONE)) {
        return "hangs and does not say why";
    }
    for (unsigned u = 0; u < UNTRUTHS; u++) {
        if ((outcome->untrue & ~defect->may_be_untrue) >> u & 1) {
            return untruth_text((enum untruth)u);
        }
    }
    return outcome->is_mended ? NULL : "cannot be lined again though all is mended";
}

unsigned survey_check(const struct survey *survey, FILE *to) {
    static const char *const scenes[TRAIN_SCENES] = {"", ", train coming", ", train on the span"};
    unsigned count, wrongs = 0;
    const struct bridge_defect *defects = catalog_defects(survey->bridge, &count);
    for (unsigned d = 0; d < survey->defects; d++) {
        for (unsigned m = 0; m < MOMENTS; m++) {
            for (unsigned t = 0; t < TRAIN_SCENES; t++) {
                const char *wrong = survey->was_tried[d][m][t]
                                        ? wrong_of(&defects[d], &survey->outcome[d][m][t])
                                        : NULL;
                if (wrong != NULL) {
                    fprintf(to, "%s, at %s%s: %s\n", defects[d].words, moment_name((enum moment)m),
                            scenes[t], wrong);
                    wrongs++;
                }
            }
        }
    }
    return wrongs;
}

/* ---- the table: rows of what is done, where; defects with the same rows share them */

enum { ROWS_MAX = 16, WHERE_SIZE = 900, DONE_SIZE = 400 };

struct done {
    char what[DONE_SIZE];
    const char *held_by;
    char where[WHERE_SIZE];
    unsigned moments; /* without a train */
    double safe_s;
};

struct body {
    unsigned count;
    struct done done[ROWS_MAX];
};

static const char *invariant_of(enum bridge_fault fault) {
    switch (fault) {
    case FAULT_EMERGENCY_STOP:
    case FAULT_STOP_CIRCUIT:
        return "S9";
    case FAULT_DEVICE_LOST:
        return "S7";
    case FAULT_INPUT_LOST:
    case FAULT_CONTRADICTION:
        return "S5";
    case FAULT_PROOF_LOST:
        return "S1, S2";
    case FAULT_RAILS_UNPROVED:
        return "S1";
    case FAULT_OVERRUN:
        return "S8";
    case FAULT_SIGNAL_UNPROVED:
    case FAULT_POWER_UNPROVED:
        return "S3, S4";
    case FAULT_LOCK_UNPROVED:
        return "S3";
    case FAULT_STALL:
    case FAULT_BINDING:
    case FAULT_NO_MOVEMENT:
    case FAULT_OVERSPEED:
    case FAULT_OVERTRAVEL:
    case FAULT_TRAVEL_TIME:
    case FAULT_SEAT_TIME:
    case FAULT_DRIFT:
    case FAULT_LATE:
        return "watch";
    case FAULT_NONE:
    case BRIDGE_FAULTS:
        break;
    }
    return "-";
}

static void describe(const struct outcome *outcome, struct done *done) {
    const char *what = "";
    done->held_by = "-";
    switch (outcome->end) {
    case END_COMPLETE:
        what = outcome->wait == WAIT_NONE ? "goes on" : bridge_wait_text(outcome->wait);
        break;
    case END_GIVEN_UP:
        what = "gives up: trains not away in time";
        done->held_by = "S3, S4";
        break;
    case END_FAULT:
        what = bridge_fault_name(outcome->fault);
        done->held_by = invariant_of(outcome->fault);
        break;
    case END_WAITS:
        what = bridge_wait_text(outcome->wait);
        done->held_by = "S6";
        break;
    case END_HUNG:
        what = "HANGS";
        break;
    }
    bool is_waiting =
        outcome->end == END_WAITS || (outcome->end == END_COMPLETE && outcome->wait != WAIT_NONE);
    const char *mark = outcome->end == END_FAULT ? "**" : "";
    int length = snprintf(done->what, sizeof done->what, "%s%s%s%s", mark,
                          is_waiting ? "waits: " : "", what, mark);
    for (unsigned u = 0; u < UNTRUTHS; u++) {
        if ((outcome->untrue >> u & 1) != 0 && length < DONE_SIZE) {
            length += snprintf(done->what + length, sizeof done->what - (size_t)length, "; *%s*",
                               untruth_text((enum untruth)u));
        }
    }
    done->safe_s = outcome->end == END_FAULT ? (double)outcome->safe_us / 1e6 : 0;
}

static struct done *row_for(struct body *body, const struct done *done) {
    for (unsigned i = 0; i < body->count; i++) {
        if (strcmp(body->done[i].what, done->what) == 0) {
            return &body->done[i];
        }
    }
    struct done *row = &body->done[body->count < ROWS_MAX ? body->count++ : ROWS_MAX - 1];
    *row = *done;
    row->where[0] = '\0';
    row->moments = 0;
    return row;
}

static void add_place(struct done *row, const char *moment, const char *scene) {
    size_t length = strlen(row->where);
    snprintf(row->where + length, sizeof row->where - length, "%s%s%s", length > 0 ? ", " : "",
             moment, scene);
}

static void add_outcome(struct body *body, const struct survey *survey, unsigned d, unsigned m,
                        unsigned t) {
    static const char *const scenes[TRAIN_SCENES] = {"", " (train coming)", " (train on the span)"};
    struct done done, alone;
    describe(&survey->outcome[d][m][t], &done);
    describe(&survey->outcome[d][m][TRAINS_NONE], &alone);
    struct done *row = row_for(body, &done);
    row->safe_s = fmax(row->safe_s, done.safe_s);
    if (t == TRAINS_NONE) {
        row->moments++;
    }
    if (t == TRAINS_NONE || strcmp(done.what, alone.what) != 0) {
        add_place(row, moment_name((enum moment)m), scenes[t]);
    }
}

static void fill_body(const struct survey *survey, unsigned d, struct body *body) {
    memset(body, 0, sizeof *body);
    for (unsigned t = 0; t < TRAIN_SCENES; t++) {
        for (unsigned m = 0; m < MOMENTS; m++) {
            if (survey->was_tried[d][m][t]) {
                add_outcome(body, survey, d, m, t);
            }
        }
    }
    unsigned moments = 0;
    for (unsigned m = 0; m < MOMENTS; m++) {
        moments += survey->was_tried[d][m][TRAINS_NONE];
    }
    for (unsigned i = 0; i < body->count; i++) {
        if (body->done[i].moments == moments) {
            snprintf(body->done[i].where, WHERE_SIZE, "everywhere%s",
                     body->count > 1 ? " else" : "");
        }
    }
}

static bool is_same_body(const struct body *a, const struct body *b) {
    bool is_same = a->count == b->count;
    for (unsigned i = 0; is_same && i < a->count; i++) {
        is_same = strcmp(a->done[i].what, b->done[i].what) == 0 &&
                  strcmp(a->done[i].where, b->done[i].where) == 0;
    }
    return is_same;
}

/* "fault jam 0.5 on" is called "jam 0.5". */
static void write_name(const struct bridge_defect *defect, FILE *to) {
    const char *words = defect->words;
    size_t length = strlen(words);
    if (strncmp(words, "fault ", 6) == 0) {
        words += 6;
        length -= 6 + strlen(" on");
    } else if (strncmp(words, "contact ", 8) == 0) {
        words += 8;
        length -= 8;
    }
    fprintf(to, "`%.*s`", (int)length, words);
}

static void write_body(const struct body *body, FILE *to) {
    for (unsigned i = 0; i < body->count; i++) {
        const struct done *done = &body->done[i];
        char safe[32] = "-";
        if (done->what[0] == '*') {
            snprintf(safe, sizeof safe, "%.1f s",
                     fmax(ceil(done->safe_s * 10 - 1e-6), 0) / 10 + 0.0);
        }
        fprintf(to, "%s | %s | %s | %s | %s |\n", i > 0 ? "| " : "", done->what, done->where, safe,
                done->held_by);
    }
}

static void write_head(const struct survey *survey, FILE *to) {
    unsigned trials = 0;
    for (unsigned d = 0; d < survey->defects; d++) {
        for (unsigned m = 0; m < MOMENTS; m++) {
            for (unsigned t = 0; t < TRAIN_SCENES; t++) {
                trials += survey->was_tried[d][m][t];
            }
        }
    }
    const char *table =
        "| fault | what the bridge does | when the fault comes at | safe within | held by |\n"
        "| --- | --- | --- | --- | --- |\n";
    if (survey->bridge == BRIDGE_WHOLE) {
        fprintf(to,
                "# Single faults\n\nWritten by `tools/fault-table`; what it means: README.md "
                "beside it.\n\n%u faults, each at %d moments of an opening, without a train and "
                "with one coming: %u openings. None breaks an\ninvariant, none hangs without a "
                "word, and each comes to lined once all is mended and acknowledged.\n\n%s",
                survey->defects, MOMENTS, trials, table);
        return;
    }
    fprintf(to, "\n# %s\n\n%s %u faults, %u openings.\n\n%s", bridges_title(survey->bridge),
            bridges_about(survey->bridge), survey->defects, trials, table);
}

void survey_write(const struct survey *survey, FILE *to) {
    static struct body bodies[SURVEY_DEFECTS_MAX];
    bool is_written[SURVEY_DEFECTS_MAX] = {false};
    unsigned count;
    const struct bridge_defect *defects = catalog_defects(survey->bridge, &count);
    for (unsigned d = 0; d < survey->defects; d++) {
        fill_body(survey, d, &bodies[d]);
    }
    write_head(survey, to);
    for (unsigned d = 0; d < survey->defects; d++) {
        if (is_written[d]) {
            continue;
        }
        for (unsigned e = d; e < survey->defects; e++) {
            if (!is_written[e] && is_same_body(&bodies[d], &bodies[e])) {
                is_written[e] = true;
                fputs(e == d ? "| " : ", ", to);
                write_name(&defects[e], to);
                for (unsigned i = 0; i < bodies[d].count; i++) {
                    bodies[d].done[i].safe_s =
                        fmax(bodies[d].done[i].safe_s, bodies[e].done[i].safe_s);
                }
            }
        }
        write_body(&bodies[d], to);
    }
    fputs("\n## What no input shows\n\n| fault | what it does |\n| --- | --- |\n", to);
    for (unsigned d = 0; d < survey->defects; d++) {
        if (defects[d].unseen != NULL) {
            fputs("| ", to);
            write_name(&defects[d], to);
            fprintf(to, " | %s |\n", defects[d].unseen);
        }
    }
}

#include "bridge/doubts.h"

#include "config/reader/json_text.h"
#include "plots/finding_words.h"
#include "plots/sizing_spread.h"
#include "plots/sizing_words.h"

#include <stdlib.h>

struct counts {
    unsigned bad, unsure;
};

/* Returns whether it is to be said. */
static bool take(struct counts *counts, enum verdict_state state) {
    counts->bad += state == VERDICT_BAD;
    counts->unsure += state == VERDICT_UNSURE;
    return state == VERDICT_BAD || state == VERDICT_UNSURE;
}

static void print_doubt(FILE *out, const char *file, unsigned index, const char *topic,
                        const char *words) {
    fprintf(out, "%s: warning: /bridges/%u: calculated: %s%s%s\n", file, index, topic,
            topic[0] != '\0' ? ": " : "", words);
}

static void print_bridge(FILE *out, const char *file, const struct sizing_report *report,
                         struct counts *counts) {
    char words[1024];
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        const struct verdict *verdict = &report->verdicts.verdict[i];
        if (take(counts, verdict->state)) {
            sizing_words_verdict(report, verdict, words, sizeof words);
            print_doubt(out, file, report->index, "", words);
        }
    }
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        if (take(counts, finding->state)) {
            finding_words(report, finding, words, sizeof words);
            print_doubt(out, file, report->index,
                        finding_words_topic(finding_topic(finding->about)), words);
        }
    }
    for (size_t i = 0; i < report->refusals.count && i < SIZING_REFUSALS_MAX; i++) {
        sizing_words_refusal(report, &report->refusals.refusal[i], words, sizeof words);
        print_doubt(out, file, report->index, "", words);
    }
}

static struct config_moves *moves_of(const char *path) {
    struct error error;
    size_t length;
    if (path == NULL) {
        const char *demo = config_demo_text(&length);
        return config_moves_begin(demo, length);
    }
    char *text = json_text_read(path, &length, &error);
    struct config_moves *moves = text != NULL ? config_moves_begin(text, length) : NULL;
    free(text);
    return moves;
}

static struct counts print_all(FILE *out, const char *file, const struct config *config,
                               struct config_moves *moves, struct sizing_report *report) {
    struct counts counts = {0, 0};
    for (unsigned i = 0; i < config->net.bridges; i++) {
        sizing_report_of(config, i, &report[i]);
    }
    if (!sizing_spread(moves, config->net.bridges, report)) {
        fprintf(out, "%s: warning: out of memory for calculating what may be off\n", file);
    }
    for (unsigned i = 0; i < config->net.bridges; i++) {
        print_bridge(out, file, &report[i], &counts);
    }
    return counts;
}

unsigned doubts_print(FILE *out, const char *file, const char *path, const struct config *config) {
    struct counts counts = {0, 0};
    if (config->net.bridges == 0) {
        return 0;
    }
    struct sizing_report *report = calloc(config->net.bridges, sizeof *report);
    struct config_moves *moves = moves_of(path);
    if (report != NULL && moves != NULL) {
        counts = print_all(out, file, config, moves, report);
    } else {
        fprintf(out, "%s: warning: out of memory for calculating the lift\n", file);
    }
    config_moves_end(moves);
    free(report);
    if (counts.bad + counts.unsure > 0) {
        fprintf(out,
                "%s: warning: bad calculated verdicts: %u, not known well enough: %u; for "
                "details: drawtender reckon\n",
                file, counts.bad, counts.unsure);
    }
    return counts.bad;
}

#include "bridge/doubts.h"

#include "plots/finding_words.h"
#include "plots/sizing_report.h"
#include "plots/sizing_words.h"

#include <stdlib.h>

static void print_bad(FILE *out, const char *file, unsigned index, const char *topic,
                      const char *words) {
    fprintf(out, "%s: warning: /bridges/%u: calculated: %s%s%s\n", file, index, topic,
            topic[0] != '\0' ? ": " : "", words);
}

static unsigned print_bridge(FILE *out, const char *file, const struct sizing_report *report) {
    char words[512];
    unsigned bad = 0;
    for (unsigned i = 0; i < report->verdicts.count; i++) {
        const struct verdict *verdict = &report->verdicts.verdict[i];
        if (verdict->state == VERDICT_BAD) {
            sizing_words_verdict(report, verdict, words, sizeof words);
            print_bad(out, file, report->index, "", words);
            bad++;
        }
    }
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        if (finding->state == VERDICT_BAD) {
            finding_words(report, finding, words, sizeof words);
            print_bad(out, file, report->index, finding_words_topic(finding_topic(finding->about)),
                      words);
            bad++;
        }
    }
    return bad;
}

unsigned doubts_print(FILE *out, const char *file, const struct config *config) {
    struct sizing_report *report = malloc(sizeof *report); /* too large for the stack */
    unsigned bad = 0;
    if (report == NULL) {
        fprintf(out, "%s: warning: no memory left to calculate the lift\n", file);
        return 0;
    }
    for (unsigned i = 0; i < config->net.bridges; i++) {
        sizing_report_of(config, i, report);
        bad += print_bridge(out, file, report);
    }
    free(report);
    if (bad > 0) {
        fprintf(out, "%s: warning: calculated to be bad: %u; drawtender reckon says more of each\n",
                file, bad);
    }
    return bad;
}

#include "tools/drawtender/sizing/findings_text.h"

#include "config/reader/measure.h"
#include "plots/finding_words.h"

#include <string.h>

enum { WORDS_SIZE = 256, PLACE_SIZE = 128 };

static const char *mark_of(const struct finding *finding) {
    static const char *const marks[] = {
        [VERDICT_GOOD] = "good", [VERDICT_BAD] = "BAD", [VERDICT_UNKNOWN] = "?"};
    return finding->is_judged ? marks[finding->state] : "";
}

static void put_row(FILE *out, const struct sizing_report *report, const struct finding *finding) {
    char words[WORDS_SIZE], margin[64];
    finding_words(report, finding, words, sizeof words);
    finding_words_margin(report, finding, margin, sizeof margin);
    fprintf(out, "  %-4s %12s  %s\n", mark_of(finding), margin, words);
}

/* Returns whether a row before `index` needs the same. */
static bool is_said(const struct sizing_report *report, unsigned index, const char *place) {
    char other[PLACE_SIZE];
    for (unsigned i = 0; i < index; i++) {
        const struct finding *finding = &report->findings.finding[i];
        finding_words_place(report, finding, other, sizeof other);
        if (finding->state == VERDICT_UNKNOWN && strcmp(place, other) == 0) {
            return true;
        }
    }
    return false;
}

static void put_advice(FILE *out, const struct sizing_report *report) {
    char place[PLACE_SIZE];
    bool is_begun = false;
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        finding_words_place(report, finding, place, sizeof place);
        const char *words = measure_for(place);
        if (finding->state == VERDICT_UNKNOWN && words != NULL && !is_said(report, i, place)) {
            fprintf(out, "%s  %s\n      to measure: %s\n", is_begun ? "" : "\nNot known yet\n",
                    place, words);
            is_begun = true;
        }
    }
}

void findings_text(FILE *out, const struct sizing_report *report) {
    enum finding_topic topic = FINDING_TOPICS;
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        if (finding_topic(finding->about) != topic) {
            topic = finding_topic(finding->about);
            fprintf(out, "\n%s\n", finding_words_topic(topic));
        }
        put_row(out, report, finding);
    }
    put_advice(out, report);
}

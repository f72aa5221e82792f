#include "tools/drawtender/sizing/findings_text.h"

#include "config/reader/measure.h"
#include "plots/finding_words.h"

#include <string.h>

enum { WORDS_SIZE = 512, PLACE_SIZE = 128 };

static const char *mark_of(const struct finding *finding) {
    static const char *const marks[] = {[VERDICT_GOOD] = "good",
                                        [VERDICT_BAD] = "BAD",
                                        [VERDICT_UNKNOWN] = "?",
                                        [VERDICT_UNSURE] = "?"};
    return finding->is_judged ? marks[finding->state] : "";
}

static void put_row(FILE *out, const struct sizing_report *report, const struct finding *finding,
                    int width) {
    char words[WORDS_SIZE], margin[64];
    finding_words(report, finding, words, sizeof words);
    finding_words_margin(report, finding, margin, sizeof margin);
    fprintf(out, "  %-4s %*s  %s\n", mark_of(finding), width, margin, words);
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

static bool is_doubt(const struct finding *finding) {
    return finding->state == VERDICT_BAD || finding->state == VERDICT_UNSURE;
}

/* Under the title of its topic. */
static void put_rows(FILE *out, const struct sizing_report *report, bool is_all) {
    enum finding_topic topic = FINDING_TOPICS;
    int width = 12;
    for (unsigned i = 0; i < report->findings.count; i++) {
        width = report->findings.finding[i].doubt.cause > 0 ? 20 : width; /* "44 K +- 9 K" */
    }
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        if (!is_all && !is_doubt(finding)) {
            continue;
        }
        if (finding_topic(finding->about) != topic) {
            topic = finding_topic(finding->about);
            fprintf(out, "\n%s\n", finding_words_topic(topic));
        }
        put_row(out, report, finding, width);
    }
}

void findings_text(FILE *out, const struct sizing_report *report) {
    put_rows(out, report, true);
    put_advice(out, report);
}

void findings_text_doubts(FILE *out, const struct sizing_report *report) {
    put_rows(out, report, false);
}

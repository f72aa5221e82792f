#include "bridge/guard_table.h"

#include "base/log.h"
#include "core/words/guard_words.h"

static void print_note(FILE *out, const char *name, const char *words) {
    if (words[0] != '\0') {
        fprintf(out, "    %s: %s\n", name, words);
    }
}

static void print_row(FILE *out, const struct guard_row *row, const struct guard_words *words) {
    fprintf(out, "%s %-18s  %-11s  %s: %s\n", guard_is_restrictive(row) ? "*" : " ",
            guard_text(row->how), words->invariants, words->condition, words->rests_on);
    print_note(out, "not seen", row->unseen);
    print_note(out, "better", row->add);
}

static void print_rows(FILE *out, const struct guards *guards, bool are_restrictive,
                       const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    for (unsigned i = 0; i < guards->rows; i++) {
        struct guard_words words;
        bool is_wanted = guard_is_restrictive(&guards->row[i]) == are_restrictive;
        if (is_wanted && guards_describe(guards, i, tracks, &words)) {
            print_row(out, &guards->row[i], &words);
        }
    }
}

void guard_table_print(FILE *out, const char *bridge, const struct bridge_setup *setup,
                       const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    struct guards guards;
    guards_of(setup, &guards);
    fprintf(out, "What guards %s (* by a person, or could be guarded better)\n", bridge);
    print_rows(out, &guards, true, tracks);
    print_rows(out, &guards, false, tracks);
}

void guard_table_log(const char *bridge, const struct bridge_setup *setup,
                     const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    struct guards guards;
    guards_of(setup, &guards);
    for (unsigned i = 0; i < guards.rows; i++) {
        const struct guard_row *row = &guards.row[i];
        struct guard_words words;
        if (guard_is_restrictive(row) && guards_describe(&guards, i, tracks, &words)) {
            log_line(LOG_NOTICE, "%s: %s (%s) %s: %s", bridge, words.condition, words.invariants,
                     guard_text(row->how), words.rests_on);
        }
    }
}

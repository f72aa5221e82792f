/* verb_describe.c: asks about a bridge and writes its first configuration. Moves nothing real. */
#include "tools/drawtender/base/text_diff.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/daemon_beside.h"
#include "tools/drawtender/describe/judgement.h"
#include "tools/drawtender/describe/watch.h"
#include "tools/drawtender/verbs/verbs.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

static const char opening_words[] =
    "A first configuration for your bridge. Have a tape, a scale and the motor's label at hand.\n"
    "Nothing moves, and no existing file is overwritten.\n"
    "  units as you write them: 7 ft 5 in, 31 kg, 12 V     Enter  takes what is offered\n"
    "  ?  I do not know: how to find out, or a guess        <      back to the question before\n"
    "  q  stops; the same command goes on there\n"
    "\n"
    "CAUTION: a moving span and its counterweight crush fingers. Measure with the motor's supply\n"
    "unplugged and the span held. Extra-low voltage only; local electrical codes and licensed\n"
    "practice come first. This software is not a safety device.\n";

struct describing {
    struct tool *tool;
    const char *file;
    char kept[PATH_MAX]; /* the file of answers */
    struct interview interview;
};

/* ---- before and after the questions */

static enum outcome begin(struct describing *describing) {
    struct tool *tool = describing->tool;
    struct interview *interview = &describing->interview;
    interview->out = tool->streams.out;
    if (access(describing->file, F_OK) == 0) {
        error_set(&tool->error, "",
                  "%.60s already exists, and is not overwritten; edit %.60s.answers and give "
                  "another name: drawtender describe NEW.json --answers %.60s.answers",
                  describing->file, describing->file, describing->file);
        return OUTCOME_UNWRITTEN;
    }
    if (tool->options->answers != NULL) {
        return answers_read(tool->options->answers, &interview->answers, &tool->error)
                   ? OUTCOME_DONE
                   : OUTCOME_CONFIGURATION;
    }
    snprintf(describing->kept, sizeof describing->kept, "%s.answers", describing->file);
    bool goes_on = access(describing->kept, F_OK) == 0;
    if (goes_on && !answers_read(describing->kept, &interview->answers, &tool->error)) {
        return OUTCOME_CONFIGURATION;
    }
    interview->kept = answers_open(describing->kept, &tool->error);
    interview->in = fdopen(dup(tool->streams.in), "r");
    if (interview->kept == NULL || interview->in == NULL) {
        return OUTCOME_UNWRITTEN;
    }
    fputs(opening_words, interview->out);
    if (goes_on) {
        fprintf(interview->out, "\nGoing on from %s.\n", describing->kept);
    }
    return OUTCOME_DONE;
}

static void end(struct describing *describing) {
    if (describing->interview.kept != NULL) {
        fclose(describing->interview.kept);
    }
    if (describing->interview.in != NULL) {
        fclose(describing->interview.in);
    }
}

static enum outcome left(struct describing *describing) {
    error_set(&describing->tool->error, "",
              "stopped; only your answers are saved, in %.120s: run the same command to resume",
              describing->kept);
    return OUTCOME_INTERRUPTED;
}

/* ---- judging and mending */

/* Another answer to one question; < leaves it as it was. Returns false for somebody who has left.
 */
static bool change(struct interview *interview, const char *name) {
    enum question_id id = question_find(name);
    if (id == Q_WATCH) {
        fputs("watch is asked once the file is written: that takes the word write.\n",
              interview->out);
        return true;
    }
    if (id == QUESTIONS || !answers_ask(&interview->answers, id)) {
        fprintf(interview->out, "There is no question '%s' for this bridge; \"list\" shows all.\n",
                name);
        return true;
    }
    enum interview_end ended = interview_ask(interview, id);
    if (ended == INTERVIEW_BACK) {
        const char *value = answers_value(&interview->answers, id);
        fprintf(interview->out, "%s is as it was: %s\n", name,
                value != NULL ? value : "not answered");
    }
    return ended != INTERVIEW_LEFT && interview_all(interview);
}

static void list(const struct interview *interview) {
    for (unsigned i = 0; i < Q_WATCH; i++) {
        const char *value = answers_value(&interview->answers, (enum question_id)i);
        if (value != NULL) {
            fprintf(interview->out, "  %-20s %s\n", questions[i].name, value);
        }
    }
}

/* The judgement as a text of its own, to be compared. NULL: no memory. */
static char *judged(struct interview *interview, bool *is_usable) {
    FILE *out = interview->out;
    char *text = NULL;
    size_t size;
    interview->out = open_memstream(&text, &size);
    *is_usable = interview->out != NULL && judgement_print(interview, false);
    if (interview->out != NULL) {
        fclose(interview->out);
    }
    interview->out = out;
    return text;
}

/* All of it once, then what a change has changed; what is wrong again and again, and last. */
static bool show(struct interview *interview, char **shown) {
    bool is_usable;
    char *text = judged(interview, &is_usable);
    if (text != NULL && *shown == NULL) {
        fputs(text, interview->out);
    } else if (text != NULL) {
        fputs("\nIn the report:\n", interview->out);
        if (text_diff_print(interview->out, *shown, text) == 0) {
            fputs("  nothing changes.\n", interview->out);
        }
        if (!is_usable) {
            judgement_print(interview, true);
        }
    }
    free(*shown);
    *shown = text;
    return is_usable;
}

/* Takes one line of the review. Returns false for somebody who has left. */
static bool review(struct interview *interview, const char *line, bool is_usable) {
    if (line[0] == '\0' || strcmp(line, "<") == 0) {
        fputs(is_usable ? "Nothing is written yet: that takes the word write.\n"
                        : "What is wrong is to be changed first.\n",
              interview->out);
        return true;
    }
    if (strcmp(line, "list") == 0) {
        list(interview);
        return true;
    }
    return change(interview, line);
}

/* Until the person is content with a configuration that the daemon takes. The file takes a word: an
 * Enter too many must not write it. */
static enum outcome settle(struct describing *describing) {
    struct interview *interview = &describing->interview;
    char line[ANSWER_SIZE] = "";
    char *shown = NULL;
    bool goes_on = interview_all(interview);
    bool is_usable = goes_on && show(interview, &shown);
    while (goes_on) {
        goes_on = interview_line(interview,
                                 is_usable ? "\nwrite: write it; a question's name: change that "
                                             "answer; list: all answers\n> "
                                           : "\nA question's name: change that answer; list: all "
                                             "answers; q: stop\n> ",
                                 line);
        if (goes_on && is_usable && strcasecmp(line, "write") == 0) {
            break;
        }
        struct answers before = interview->answers;
        goes_on = goes_on && review(interview, line, is_usable);
        if (goes_on && memcmp(&before, &interview->answers, sizeof before) != 0) {
            is_usable = show(interview, &shown);
        }
    }
    free(shown);
    return goes_on ? OUTCOME_DONE : left(describing);
}

static enum outcome settle_unasked(struct describing *describing) {
    struct tool *tool = describing->tool;
    if (!interview_fill(&describing->interview, &tool->error)) {
        return OUTCOME_CONFIGURATION;
    }
    if (!judgement_print(&describing->interview, tool->options->is_quiet)) {
        error_set(&tool->error, "", "the daemon would refuse the result of these answers");
        return OUTCOME_CONFIGURATION;
    }
    return OUTCOME_DONE;
}

/* ---- writing */

/* O_EXCL: not even over a file that has come since. */
static enum outcome write_file(struct describing *describing) {
    struct tool *tool = describing->tool;
    char *text = bridge_text(&describing->interview.answers, false);
    int fd = text != NULL ? open(describing->file, O_WRONLY | O_CREAT | O_EXCL, 0644) : -1;
    FILE *out = fd >= 0 ? fdopen(fd, "w") : NULL;
    bool is_written = out != NULL && fputs(text, out) >= 0;
    is_written = out != NULL && fclose(out) == 0 && is_written;
    if (!is_written) {
        error_set(&tool->error, "", "%.150s: %s", describing->file, strerror(errno));
    }
    free(text);
    return is_written ? OUTCOME_DONE : OUTCOME_UNWRITTEN;
}

static void put_next_steps(const struct describing *describing, bool is_wired) {
    const char *file = describing->file;
    const char *answers = describing->tool->options->answers;
    FILE *out = describing->interview.out;
    fprintf(out,
            "\nWhat to do next\n"
            "  drawtenderd --config %s --check\n"
            "      what guards the bridge, and what would guard it better\n"
            "  drawtender reckon %s --plots .\n"
            "      sizing in full, with drawings\n",
            file, file);
    if (!is_wired) {
        fprintf(out,
                "  drawtenderd --config %s\n"
                "      runs it, simulated; its panel is at http://127.0.0.1:4380\n"
                "When there are wires, add the line \"wired: yes\" to the answers, and:\n"
                "  drawtender describe wired-bridge.json --answers %s\n",
                file, answers != NULL ? answers : describing->kept);
        return;
    }
    const struct answers *given = &describing->interview.answers;
    bool is_held = answers_is(given, Q_LOCK, "driven") && !answers_is(given, Q_LOCKED, "yes");
    fprintf(
        out,
        "  1. Wire it by the table above, with emergency stop and watchdog relay in the motor's\n"
        "     supply. To print and to draw it again:\n"
        "       drawtenderd --config %s --wiring\n"
        "       drawtenderd --config %s --wiring-drawing wiring.svg\n"
        "  2. Motor's supply OFF: work each contact by hand, and read what the log says.\n"
        "       drawtenderd --config %s --dry-run\n"
        "  3. Emergency stop in reach: contacts, direction, first careful movements.\n"
        "       drawtenderd --config %s\n"
        "       drawtender commission %s\n"
        "  4. Look whether throttles are shut, then give the track its power.\n"
        "%s"
        "       drawtender power on\n",
        file, file, file, file, file,
        is_held
            ? "     After each start begin with lower: no contact tells that the bar is driven.\n"
              "       drawtender lower\n"
            : "");
}

static enum outcome conclude(struct describing *describing) {
    struct tool *tool = describing->tool;
    struct interview *interview = &describing->interview;
    bool is_wired = answers_is(&interview->answers, Q_WIRED, "yes");
    FILE *out = interview->out;
    if (!tool->options->is_quiet) {
        fprintf(out, "\nWritten: %s\n", describing->file);
        struct error error;
        fputc('\n', out);
        if (is_wired && !daemon_beside_wiring(describing->file, out, &error)) {
            fprintf(out, "No wiring table: %s.\n", error.what);
        }
    }
    bool is_asked =
        interview->in == NULL || interview_ask(interview, Q_WATCH) == INTERVIEW_ANSWERED;
    enum outcome outcome = OUTCOME_DONE;
    if (is_asked && answers_is(&interview->answers, Q_WATCH, "yes")) {
        outcome = watch_opening(tool, &interview->answers);
    }
    if (!tool->options->is_quiet) {
        put_next_steps(describing, is_wired);
    }
    return outcome;
}

static enum outcome run(struct describing *describing) {
    enum outcome outcome = begin(describing);
    if (outcome == OUTCOME_DONE) {
        outcome =
            describing->interview.in != NULL ? settle(describing) : settle_unasked(describing);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = write_file(describing);
    }
    return outcome == OUTCOME_DONE ? conclude(describing) : outcome;
}

enum outcome verb_describe(struct tool *tool) {
    struct describing *describing = calloc(1, sizeof *describing);
    if (describing == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    describing->tool = tool;
    describing->file = tool->options->word[0];
    enum outcome outcome = run(describing);
    end(describing);
    free(describing);
    return outcome;
}

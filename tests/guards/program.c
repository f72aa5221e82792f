#include "guards/program.h"

#include "bridge/guard_table.h"
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <sysexits.h>
#include <unistd.h>

void program_begin(struct program *program, const char *daemon) {
    *program = (struct program){.daemon = daemon};
    if (daemon != NULL) {
        program->accepted = calloc(1, sizeof *program->accepted);
        program->refused = calloc(1, sizeof *program->refused);
        assert_non_null(program->accepted);
        assert_non_null(program->refused);
    }
}

static void complain(struct program *program, combination chosen, const char *what,
                     const char *words) {
    if (program->broken[0] == '\0') {
        program->chosen = chosen;
        snprintf(program->broken, sizeof program->broken, "drawtenderd %s \"%.180s\"", what, words);
    }
}

/* ---- asking */

static void write_file(const struct program_batch *batch, const char *path) {
    static char bridge[COMBINATION_TEXT_SIZE];
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    for (unsigned i = 0; i < batch->bridges; i++) {
        combination_write(batch->chosen[i], i, bridge);
        fprintf(file, "%s%s", i == 0 ? "{\"bridges\":[" : ",\n", bridge);
    }
    fputs("]}\n", file);
    assert_int_equal(fclose(file), 0);
}

/* All that it prints, on both its outputs; returns its exit status. */
static int run(const char *daemon, const char *path, char *said, size_t size) {
    char command[1024];
    snprintf(command, sizeof command, "'%s' --check --config '%s' 2>&1", daemon, path);
    FILE *out = popen(command, "r");
    assert_non_null(out);
    size_t length = fread(said, 1, size - 1, out);
    said[length] = '\0';
    int status = pclose(out);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void ask(struct program *program, struct program_batch *batch, int wanted_status) {
    static char said[PROGRAM_BATCH * PROGRAM_WORDS_SIZE];
    char path[256];
    if (batch->bridges == 0) {
        return;
    }
    snprintf(path, sizeof path, BINARY_DIR "/combinations-%ld.json", (long)getpid());
    write_file(batch, path);
    int status = run(program->daemon, path, said, sizeof said);
    if (status != wanted_status) {
        complain(program, batch->chosen[0], "ends otherwise, and says", said);
    }
    for (unsigned i = 0; i < batch->bridges; i++) {
        if (strstr(said, batch->wanted[i]) == NULL) {
            complain(program, batch->chosen[i], "does not say", batch->wanted[i]);
        }
    }
    unlink(path);
    program->looked_at += batch->bridges;
    batch->bridges = 0;
}

static void ask_both(struct program *program, unsigned at_least) {
    if (program->accepted->bridges >= at_least) {
        ask(program, program->accepted, EX_OK);
    }
    if (program->refused->bridges >= at_least) {
        ask(program, program->refused, EX_CONFIG);
    }
}

/* ---- what it must say */

static void want_table(const struct config *config, unsigned index, char *wanted) {
    const struct net_bridge_setup *bridge = &config->net.bridge[0];
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    char name[64];
    FILE *out = fmemopen(wanted, PROGRAM_WORDS_SIZE, "w");
    assert_non_null(out);
    net_name_tracks(bridge, tracks);
    snprintf(name, sizeof name, "Kettle Narrows %u", index);
    guard_table_print(out, name, &bridge->setup, tracks);
    assert_int_equal(fclose(out), 0);
}

/* "/bridges/5/contacts/open: needed by ..." of the first; the library told of it as of the first
 * bridge. */
static void want_complaint(const struct config_report *report, unsigned index, char *wanted) {
    const struct error *error = &report->errors.complaint[0];
    snprintf(wanted, PROGRAM_WORDS_SIZE, "error: /bridges/%u%s: %s\n", index,
             error->where + strlen("/bridges/0"), error->what);
}

void program_look(struct program *program, combination chosen, const struct config *config,
                  const struct config_report *report) {
    struct program_batch *batch = config != NULL ? program->accepted : program->refused;
    unsigned index = batch->bridges++;
    batch->chosen[index] = chosen;
    if (config != NULL) {
        want_table(config, index, batch->wanted[index]);
    } else {
        want_complaint(report, index, batch->wanted[index]);
    }
    ask_both(program, PROGRAM_BATCH);
}

void program_end(struct program *program) {
    if (program->daemon != NULL) {
        ask_both(program, 1);
    }
    free(program->accepted);
    free(program->refused);
}

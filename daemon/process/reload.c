#define _GNU_SOURCE /* memfd_create() */
#include "process/reload.h"

#include "base/log.h"
#include "core/bridge.h"
#include "core/words/names.h"
#include "process/options.h"

#include <errno.h>
#include <event2/event.h>
#include <fcntl.h>
#include <sched.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

/* The same program, even if a new version lies where it was. */
static const char program[] = "/proc/self/exe";

enum { KEPT_FD = 9 };

struct reload {
    const char *config;
    int kept; /* a copy of the configuration that runs; -1: none */
    pid_t child;
    void (*checked)(void *context);
    void *context;
    struct event *asked, *child_ended;
};

/* ---- the configuration that runs, kept to be compared */

static bool copy_all(int from, int to) {
    char buffer[4096];
    ssize_t length;
    while ((length = read(from, buffer, sizeof buffer)) > 0) {
        if (write(to, buffer, (size_t)length) != length) {
            return false;
        }
    }
    return length == 0;
}

/* Without a copy the bridges run all the same: returns -1. */
static int keep(const char *path) {
    int from = open(path, O_RDONLY | O_CLOEXEC);
    int kept = memfd_create("configuration", MFD_CLOEXEC);
    bool is_kept = from >= 0 && kept >= 0 && copy_all(from, kept);
    if (!is_kept) {
        log_line(LOG_WARNING, "reload: cannot keep a copy of %s: %s", path, strerror(errno));
    }
    if (from >= 0) {
        close(from);
    }
    if (!is_kept && kept >= 0) {
        close(kept);
    }
    return is_kept ? kept : -1;
}

/* ---- the check, in a process of its own */

/* It prints where the log goes, and is in no hurry whatever this process is. */
static bool begin_check(struct reload *reload) {
    char before[32];
    snprintf(before, sizeof before, "/proc/self/fd/%d", KEPT_FD);
    char *const arguments[] = {
        "drawtenderd", "--config", (char *)reload->config, "--check", "--against", before, NULL};
    extern char **environ;
    posix_spawn_file_actions_t files;
    posix_spawnattr_t attributes;
    const struct sched_param usual = {.sched_priority = 0};
    sigset_t defaults;
    sigemptyset(&defaults);
    sigaddset(&defaults, SIGPIPE);
    int code = posix_spawn_file_actions_init(&files);
    code = code != 0 ? code : posix_spawnattr_init(&attributes);
    if (code != 0) {
        errno = code;
        return false;
    }
    posix_spawn_file_actions_adddup2(&files, reload->kept, KEPT_FD);
    posix_spawn_file_actions_adddup2(&files, STDERR_FILENO, STDOUT_FILENO);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSCHEDULER | POSIX_SPAWN_SETSIGDEF);
    posix_spawnattr_setschedpolicy(&attributes, SCHED_OTHER);
    posix_spawnattr_setschedparam(&attributes, &usual);
    posix_spawnattr_setsigdefault(&attributes, &defaults);
    code = posix_spawn(&reload->child, program, &files, &attributes, arguments, environ);
    posix_spawn_file_actions_destroy(&files);
    posix_spawnattr_destroy(&attributes);
    errno = code;
    return code == 0;
}

static void on_asked(evutil_socket_t number, short what, void *context) {
    struct reload *reload = context;
    (void)number;
    (void)what;
    if (reload->config == NULL) {
        log_line(LOG_WARNING, "reload: the built-in demo is running: there is no file to reload");
    } else if (reload->kept < 0) {
        log_line(LOG_WARNING, "reload: no copy to compare with; restart instead");
    } else if (reload->child > 0) {
        log_line(LOG_WARNING, "reload: the previous one is still being checked");
    } else if (!begin_check(reload)) {
        reload->child = 0;
        log_line(LOG_ERROR, "reload: %s cannot be checked: %s", reload->config, strerror(errno));
    }
}

static void on_child_ended(evutil_socket_t number, short what, void *context) {
    struct reload *reload = context;
    int status = 0;
    (void)number;
    (void)what;
    if (reload->child <= 0 || waitpid(reload->child, &status, WNOHANG) != reload->child) {
        return;
    }
    reload->child = 0;
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) {
        reload->checked(reload->context);
    } else if (WIFEXITED(status) && WEXITSTATUS(status) == OPTIONS_UNCHANGED) {
        log_line(LOG_NOTICE, "reload: nothing has changed in %s", reload->config);
    } else {
        log_line(LOG_ERROR, "reload: %s has errors; the bridges keep their present configuration",
                 reload->config);
    }
}

/* ---- the whole */

struct reload *reload_new(struct event_base *base, const char *config,
                          void (*checked)(void *context), void *context, struct error *error) {
    struct reload *reload = calloc(1, sizeof *reload);
    if (reload == NULL) {
        error_set(error, "", "out of memory");
        return NULL;
    }
    *reload = (struct reload){.config = config, .kept = -1, .checked = checked, .context = context};
    reload->kept = config != NULL ? keep(config) : -1;
    reload->asked = evsignal_new(base, SIGUSR1, on_asked, reload);
    reload->child_ended = evsignal_new(base, SIGCHLD, on_child_ended, reload);
    if (reload->asked == NULL || reload->child_ended == NULL ||
        evsignal_add(reload->asked, NULL) != 0 || evsignal_add(reload->child_ended, NULL) != 0) {
        error_set(error, "SIGUSR1", "cannot be caught");
        reload_free(reload);
        return NULL;
    }
    return reload;
}

void reload_free(struct reload *reload) {
    if (reload == NULL) {
        return;
    }
    if (reload->asked != NULL) {
        event_free(reload->asked);
    }
    if (reload->child_ended != NULL) {
        event_free(reload->child_ended);
    }
    if (reload->kept >= 0) {
        close(reload->kept);
    }
    free(reload);
}

/* ---- when */

/* Returns where a train is seen, or NULL. */
static const char *train_at(const struct bridge_setup *setup, const struct bridge_state *state,
                            unsigned *track) {
    for (*track = 0; *track < setup->tracks; (*track)++) {
        const struct track_state *seen = &state->track[*track];
        for (unsigned end = 0; end < TRACK_ENDS; end++) {
            bool is_watched = setup->track[*track].end[end].has_approach_detector;
            if (is_watched && seen->end[end].is_approached) {
                return "in an approach";
            }
            if (seen->end[end].is_occupied) {
                return "on a stop section";
            }
        }
        if (seen->is_occupied) {
            return "on the span";
        }
    }
    return NULL;
}

bool reload_may(const struct bridge_setup *setup, const struct bridge_view *view,
                const struct line_track tracks[BRIDGE_TRACKS_MAX], char *why, size_t size) {
    unsigned track;
    if (!bridge_is_lined(&view->state) || bridge_is_moving(&view->outputs)) {
        snprintf(why, size, "it is not lined and at rest: %s",
                 bridge_phase_name(view->state.phase));
        return false;
    }
    /* A start would give it back by itself: after an emergency stop only a person may. */
    if (!view->state.is_power_wanted) {
        snprintf(why, size, "its track power is off, and a restart may switch it on");
        return false;
    }
    const char *place = train_at(setup, &view->state, &track);
    if (place != NULL) {
        snprintf(why, size, "a train is %s of track %s", place, tracks[track].name);
        return false;
    }
    return true;
}

void reload_run_anew(char *const arguments[], struct error *error) {
    /* Asked again before that one listens, it is passed over. */
    signal(SIGUSR1, SIG_IGN);
    execv(program, arguments);
    error_set(error, program, "%s", strerror(errno));
}

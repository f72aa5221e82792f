#include "process/signals.h"

#include "base/log.h"

#include <event2/event.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>

static const struct {
    int number;
    const char *name;
} ending[] = {
    {SIGTERM, "SIGTERM"},
    {SIGINT, "SIGINT"},
    {SIGHUP, "SIGHUP"}, /* the terminal has gone */
    {SIGQUIT, "SIGQUIT"},
    {SIGXCPU, "SIGXCPU"}, /* a limit on its time, as of LimitRTTIME= in a service unit */
    /* Not used here, but they end a program that does not expect them (signal(7)). */
    {SIGUSR2, "SIGUSR2"},
    {SIGALRM, "SIGALRM"},
    {SIGVTALRM, "SIGVTALRM"},
    {SIGPROF, "SIGPROF"},
    {SIGIO, "SIGIO"},
    {SIGPWR, "SIGPWR"},
};

enum { ENDING = sizeof ending / sizeof ending[0] };

struct signals {
    void (*stop)(void *context, const char *name);
    void *context;
    struct event *ends[ENDING];
    struct event *suspends;
};

static void on_end(evutil_socket_t number, short what, void *context) {
    const struct signals *signals = context;
    (void)what;
    for (unsigned i = 0; i < ENDING; i++) {
        if (ending[i].number == number) {
            signals->stop(signals->context, ending[i].name);
        }
    }
}

static void on_suspend(evutil_socket_t number, short what, void *context) {
    (void)number;
    (void)what;
    (void)context;
    log_line(LOG_WARNING, "not suspended: the bridges would be unattended; Ctrl-C ends the daemon");
}

/* Before the network: whatever that has to do, an end begins at once. */
static struct event *listen_for(struct event_base *base, int number, event_callback_fn callback,
                                struct signals *signals) {
    struct event *event = evsignal_new(base, number, callback, signals);
    if (event != NULL && (event_priority_set(event, 0) != 0 || evsignal_add(event, NULL) != 0)) {
        event_free(event);
        event = NULL;
    }
    return event;
}

static bool is_left_ignored(int number) {
    struct sigaction before;
    return number == SIGHUP && sigaction(number, NULL, &before) == 0 &&
           before.sa_handler == SIG_IGN;
}

static void let_through(int how) {
    sigset_t set;
    sigemptyset(&set);
    for (unsigned i = 0; i < ENDING; i++) {
        sigaddset(&set, ending[i].number);
    }
    sigprocmask(how, &set, NULL);
}

void signals_hold(void) {
    let_through(SIG_BLOCK);
}

struct signals *signals_new(struct event_base *base, void (*stop)(void *context, const char *name),
                            void *context) {
    struct signals *signals = calloc(1, sizeof *signals);
    if (signals == NULL) {
        return NULL;
    }
    signals->stop = stop;
    signals->context = context;
    signals->suspends = listen_for(base, SIGTSTP, on_suspend, signals);
    bool is_good = signals->suspends != NULL;
    for (unsigned i = 0; is_good && i < ENDING; i++) {
        if (!is_left_ignored(ending[i].number)) {
            signals->ends[i] = listen_for(base, ending[i].number, on_end, signals);
            is_good = signals->ends[i] != NULL;
        }
    }
    if (!is_good) {
        signals_free(signals);
        return NULL;
    }
    let_through(SIG_UNBLOCK);
    /* A client or a file that takes nothing is an error like others. */
    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN);
    return signals;
}

void signals_free(struct signals *signals) {
    if (signals == NULL) {
        return;
    }
    for (unsigned i = 0; i < ENDING; i++) {
        if (signals->ends[i] != NULL) {
            event_free(signals->ends[i]);
        }
    }
    if (signals->suspends != NULL) {
        event_free(signals->suspends);
    }
    free(signals);
}

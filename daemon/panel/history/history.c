#include "panel/history/history.h"

#include "base/invariant.h"
#include "base/mutex.h"
#include "base/thread.h"
#include "panel/context.h"
#include "panel/history/history_job.h"
#include "panel/http/answer.h"
#include "panel/http/http_listener.h"
#include "panel/live/shared.h"

#include <errno.h>
#include <event2/buffer.h>
#include <event2/event.h>
#include <event2/http.h>
#include <inttypes.h>
#include <pthread.h>
#include <semaphore.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/eventfd.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

/* The thread steps back behind the loop, and its stack is small: memory may be locked. */
enum { NICE = 10, STACK_SIZE = 512 * 1024, ANSWERS_A_TURN = 4 };

static const struct timeval at_once = {0};

/* One request that waits for a job; the loop's alone. */
struct waiter {
    TAILQ_ENTRY(waiter) link;
    struct job *job;
    struct http_listener *listener;
    struct evhttp_request *request;
};
TAILQ_HEAD(waiters, waiter);

/* The thread has it from `asked` to `done`; what comes first is the loop's alone. */
struct job {
    TAILQ_ENTRY(job) all;
    struct waiters waiters;
    struct shared *bytes; /* what came of it, once it is done */
    bool is_done;

    TAILQ_ENTRY(job) link;
    struct history_want want;
    struct history_yield yield;
};
TAILQ_HEAD(jobs, job);

struct history {
    const struct panel_context *context;
    struct jobs all;
    unsigned count;
    struct event *answer; /* answers a few */

    pthread_t thread;
    sem_t wake;            /* posted for every job that is asked, and for the end */
    pthread_mutex_t mutex; /* over what follows */
    struct jobs asked;
    struct jobs done;
    bool is_ending;

    int bell; /* rung when something is done */
    struct event *on_bell;
};

/* --- the thread */

/* NULL: it is over. */
static struct job *next_job(struct history *history) {
    while (sem_wait(&history->wake) != 0) {
    }
    pthread_mutex_lock(&history->mutex);
    struct job *job = history->is_ending ? NULL : TAILQ_FIRST(&history->asked);
    if (job != NULL) {
        TAILQ_REMOVE(&history->asked, job, link);
    }
    pthread_mutex_unlock(&history->mutex);
    return job;
}

static void hand_over(struct history *history, struct job *job) {
    uint64_t one = 1;
    pthread_mutex_lock(&history->mutex);
    TAILQ_INSERT_TAIL(&history->done, job, link);
    pthread_mutex_unlock(&history->mutex);
    while (write(history->bell, &one, sizeof one) < 0 && errno == EINTR) {
    }
}

static void *work(void *context) {
    struct history *history = context;
    setpriority(PRIO_PROCESS, (id_t)syscall(SYS_gettid), NICE);
    for (struct job *job; (job = next_job(history)) != NULL;) {
        history_job_do(history->context->config, &job->want, &job->yield);
        hand_over(history, job);
    }
    return NULL;
}

/* --- answers */

static void forget_waiter(struct waiter *waiter) {
    TAILQ_REMOVE(&waiter->job->waiters, waiter, link);
    free(waiter);
}

static void answer_one(struct waiter *waiter) {
    const struct history_yield *yield = &waiter->job->yield;
    struct evhttp_request *request = waiter->request;
    struct evbuffer *body = evbuffer_new();
    evhttp_connection_set_closecb(evhttp_request_get_connection(request), NULL, NULL);
    if (body != NULL && waiter->job->bytes != NULL && shared_add(waiter->job->bytes, body)) {
        answer_data(request, yield->code, yield->type, body);
    } else {
        answer_error(request, ANSWER_UNAVAILABLE, "out of memory");
    }
    if (body != NULL) {
        evbuffer_free(body);
    }
    forget_waiter(waiter);
}

static void free_job(struct history *history, struct job *job) {
    TAILQ_REMOVE(&history->all, job, all);
    INVARIANT(history->count > 0);
    history->count--;
    shared_release(job->bytes);
    free(job->yield.bytes);
    free(job);
}

/* The jobs that are done, a few of their waiters at a time. */
static void answer_some(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct history *history = context;
    unsigned answered = 0;
    struct job *next;
    for (struct job *job = TAILQ_FIRST(&history->all); job != NULL; job = next) {
        next = TAILQ_NEXT(job, all);
        while (job->is_done && !TAILQ_EMPTY(&job->waiters)) {
            if (answered++ == ANSWERS_A_TURN) {
                evtimer_add(history->answer, &at_once);
                return;
            }
            answer_one(TAILQ_FIRST(&job->waiters));
        }
        if (job->is_done) {
            free_job(history, job);
        }
    }
}

static void bell_rung(evutil_socket_t fd, short what, void *context) {
    (void)what;
    struct history *history = context;
    uint64_t rung;
    if (read(fd, &rung, sizeof rung) < 0) {
        return;
    }
    pthread_mutex_lock(&history->mutex);
    struct job *job;
    while ((job = TAILQ_FIRST(&history->done)) != NULL) {
        TAILQ_REMOVE(&history->done, job, link);
        job->is_done = true;
    }
    pthread_mutex_unlock(&history->mutex);
    TAILQ_FOREACH(job, &history->all, all) {
        if (job->is_done && job->bytes == NULL && job->yield.bytes != NULL) {
            job->bytes = shared_new(job->yield.bytes, job->yield.length);
        }
    }
    evtimer_add(history->answer, &at_once);
}

/* --- requests */

static void closed(struct evhttp_connection *connection, void *context) {
    (void)connection;
    struct waiter *waiter = context;
    struct evhttp_request *request = waiter->request;
    http_listener_look(waiter->listener);
    forget_waiter(waiter);
    if (evhttp_request_get_connection(request) == NULL) {
        evhttp_request_free(request);
    }
}

static struct job *find_job(struct history *history, const struct history_want *want) {
    struct job *job;
    TAILQ_FOREACH(job, &history->all, all) {
        if (!job->is_done && history_job_is_same(&job->want, want)) {
            return job;
        }
    }
    return NULL;
}

static struct job *add_job(struct history *history, const struct history_want *want) {
    struct job *job = history->count < HISTORY_JOBS_MAX ? calloc(1, sizeof *job) : NULL;
    if (job == NULL) {
        return NULL;
    }
    job->want = *want;
    TAILQ_INIT(&job->waiters);
    TAILQ_INSERT_TAIL(&history->all, job, all);
    history->count++;
    pthread_mutex_lock(&history->mutex);
    TAILQ_INSERT_TAIL(&history->asked, job, link);
    pthread_mutex_unlock(&history->mutex);
    sem_post(&history->wake);
    return job;
}

static struct history *history_new(const struct panel_context *context) {
    struct history *history = calloc(1, sizeof *history);
    if (history == NULL || !mutex_init(&history->mutex)) {
        free(history);
        return NULL;
    }
    sem_init(&history->wake, 0, 0);
    history->context = context;
    TAILQ_INIT(&history->all);
    TAILQ_INIT(&history->asked);
    TAILQ_INIT(&history->done);
    history->bell = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
    history->answer = evtimer_new(context->base, answer_some, history);
    history->on_bell =
        event_new(context->base, history->bell, EV_READ | EV_PERSIST, bell_rung, history);
    bool is_made = history->bell >= 0 && history->answer != NULL && history->on_bell != NULL &&
                   event_add(history->on_bell, NULL) == 0;
    if (!is_made || !thread_start(&history->thread, STACK_SIZE, work, history)) {
        history->is_ending = true; /* no thread to wait for */
        history_free(history);
        return NULL;
    }
    return history;
}

static void want(struct history *history, struct http_listener *listener,
                 struct evhttp_request *request, const struct history_want *want) {
    struct waiter *waiter = history != NULL ? calloc(1, sizeof *waiter) : NULL;
    struct job *job = waiter != NULL ? find_job(history, want) : NULL;
    if (waiter != NULL && job == NULL) {
        job = add_job(history, want);
    }
    if (job == NULL) {
        free(waiter);
        answer_error(request, ANSWER_UNAVAILABLE, "too many requests at once: try again");
        return;
    }
    *waiter = (struct waiter){.job = job, .listener = listener, .request = request};
    TAILQ_INSERT_TAIL(&job->waiters, waiter, link);
    evhttp_connection_set_closecb(evhttp_request_get_connection(request), closed, waiter);
}

static struct history *made(struct history **history, const struct panel_context *context) {
    if (*history == NULL) {
        *history = history_new(context);
    }
    return *history;
}

void history_serve(struct history **history, const struct panel_context *context,
                   struct http_listener *listener, struct evhttp_request *request,
                   const char *query) {
    unsigned bus;
    int length = 0;
    int bridge = -1;
    if (query != NULL && sscanf(query, "bus=%5u%n", &bus, &length) == 1 && query[length] == '\0') {
        bridge = context_bridge_on_bus(context, bus);
    }
    if (bridge < 0) {
        answer_error(request, query == NULL ? ANSWER_BAD_REQUEST : ANSWER_NOT_FOUND,
                     "wanted the bus of a bridge: ?bus=1");
    } else if (context->config->record.file[0] == '\0') {
        cJSON *json = cJSON_CreateObject();
        cJSON_AddFalseToObject(json, "is_recorded");
        answer_json(request, ANSWER_OK, json);
    } else {
        want(made(history, context), listener, request,
             &(struct history_want){.kind = HISTORY_LISTS, .bridge = (unsigned)bridge});
    }
}

/* "leaf.svg" and the like, all that is behind the bus. */
static bool read_name(const char *name, struct history_want *want) {
    static const char *const sizing[] = {"leaf", "torque", "current", "speed"};
    int length = 0;
    if (sscanf(name, "opening-%18" SCNd64 ".svg%n", &want->number, &length) == 1 && length > 0 &&
        name[length] == '\0') {
        want->kind = HISTORY_OPENING;
        return true;
    }
    want->number = 0;
    if (strcmp(name, "trend.svg") == 0) {
        want->kind = HISTORY_TREND;
        return true;
    }
    for (size_t i = 0; i < sizeof sizing / sizeof sizing[0]; i++) {
        size_t size = strlen(sizing[i]);
        if (strncmp(name, sizing[i], size) == 0 && strcmp(name + size, ".svg") == 0) {
            want->kind = HISTORY_SIZING;
            snprintf(want->what, sizeof want->what, "%s", sizing[i]);
            return true;
        }
    }
    return false;
}

void history_serve_plot(struct history **history, const struct panel_context *context,
                        struct http_listener *listener, struct evhttp_request *request,
                        const char *name) {
    const struct config *config = context->config;
    struct history_want wanted = {.kind = HISTORY_SIZING};
    unsigned bus;
    int length = 0;
    int bridge = -1;
    if (sscanf(name, "%5u/%n", &bus, &length) == 1 && length > 0) {
        bridge = context_bridge_on_bus(context, bus);
    }
    if (bridge < 0 || !read_name(name + length, &wanted)) {
        answer_error(request, ANSWER_NOT_FOUND, "no such drawing");
        return;
    }
    wanted.bridge = (unsigned)bridge;
    if (wanted.kind != HISTORY_SIZING && config->record.file[0] == '\0') {
        answer_error(request, ANSWER_NOT_FOUND, "no record is kept");
        return;
    }
    want(made(history, context), listener, request, &wanted);
}

/* --- the end */

static void join(struct history *history) {
    if (history->is_ending) {
        return;
    }
    pthread_mutex_lock(&history->mutex);
    history->is_ending = true;
    pthread_mutex_unlock(&history->mutex);
    sem_post(&history->wake);
    pthread_join(history->thread, NULL);
}

void history_free(struct history *history) {
    if (history == NULL) {
        return;
    }
    join(history);
    while (!TAILQ_EMPTY(&history->all)) {
        struct job *job = TAILQ_FIRST(&history->all);
        while (!TAILQ_EMPTY(&job->waiters)) {
            struct waiter *waiter = TAILQ_FIRST(&job->waiters);
            evhttp_connection_set_closecb(evhttp_request_get_connection(waiter->request), NULL,
                                          NULL);
            forget_waiter(waiter);
        }
        free_job(history, job);
    }
    if (history->on_bell != NULL) {
        event_free(history->on_bell);
    }
    if (history->answer != NULL) {
        event_free(history->answer);
    }
    if (history->bell >= 0) {
        close(history->bell);
    }
    sem_destroy(&history->wake);
    pthread_mutex_destroy(&history->mutex);
    free(history);
}

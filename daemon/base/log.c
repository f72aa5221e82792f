#include "base/log.h"

#include "base/log_queue.h"
#include "base/thread.h"

#include <errno.h>
#include <poll.h>
#include <semaphore.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { STACK_SIZE = 128 * 1024 };

static const char *const level_names[] = {"error", "warning", "notice", "debug"};
static enum log_level most = LOG_NOTICE;

static struct log_queue queue;
static atomic_bool is_queued; /* lines go through the queue */
static atomic_bool is_ending; /* the thread ends when the queue is empty */
static sem_t waiting;         /* posted for each line */
static int ended[2];          /* a pipe; its writing end is closed when the thread ends */
static bool is_mid_line;      /* the writer's: the last line was not written to its end */
static unsigned unwritten;    /* the writer's: lines that nobody took, not told yet */

void log_set_level(enum log_level level) {
    most = level;
}

bool log_level_parse(const char *word, enum log_level *level) {
    for (size_t i = 0; i < sizeof level_names / sizeof level_names[0]; i++) {
        if (strcmp(word, level_names[i]) == 0) {
            *level = (enum log_level)i;
            return true;
        }
    }
    return false;
}

/* ---- a line */

__attribute__((format(printf, 3, 0))) static void
fill(struct log_entry *entry, enum log_level level, const char *format, va_list words) {
    clock_gettime(CLOCK_REALTIME, &entry->at);
    entry->level = level;
    vsnprintf(entry->words, sizeof entry->words, format, words);
}

/* Returns false where it cannot be written to its end. */
static bool write_all(const char *bytes, size_t length) {
    while (length > 0) {
        ssize_t written = write(STDERR_FILENO, bytes, length);
        if (written < 0 && (errno == EAGAIN || errno == EWOULDBLOCK)) {
            /* Somebody who shares the terminal has made it so. */
            poll(&(struct pollfd){.fd = STDERR_FILENO, .events = POLLOUT}, 1, -1);
        } else if (written < 0 && errno != EINTR) {
            return false;
        } else if (written > 0) {
            bytes += written;
            length -= (size_t)written;
            is_mid_line = true;
        }
    }
    is_mid_line = false;
    return true;
}

/* A full disk may have cut the line before: this one still begins at the left. The time of day is
 * told here and not where the line began, for that needs a lock of the C library's. */
static bool write_entry(const struct log_entry *entry) {
    struct tm day;
    char line[LOG_WORDS_SIZE + 32];
    localtime_r(&entry->at.tv_sec, &day);
    int length =
        snprintf(line, sizeof line, "%02d:%02d:%02d.%03ld %-7s %s\n", day.tm_hour, day.tm_min,
                 day.tm_sec, entry->at.tv_nsec / 1000000, level_names[entry->level], entry->words);
    return (!is_mid_line || write_all("\n", 1)) && write_all(line, (size_t)length);
}

__attribute__((format(printf, 2, 3))) static bool write_words(enum log_level level,
                                                              const char *format, ...) {
    struct log_entry entry;
    va_list words;
    va_start(words, format);
    fill(&entry, level, format, words);
    va_end(words);
    return write_entry(&entry);
}

/* ---- the thread's side */

/* Before the line that found room again, or where nothing waits any more. */
static void tell_lost(void) {
    if (unwritten > 0 &&
        write_words(LOG_WARNING, "%u lines of this log are lost: they were not read in time",
                    unwritten)) {
        unwritten = 0;
    }
}

static void write_queued(void) {
    struct log_entry entry;
    unsigned lost;
    while (log_queue_take(&queue, &entry, &lost)) {
        unwritten += lost;
        tell_lost();
        if (unwritten > 0 || !write_entry(&entry)) {
            unwritten++;
        }
    }
    unwritten += log_queue_lost(&queue);
    tell_lost();
}

static void *write_on(void *context) {
    (void)context;
    bool is_last;
    do {
        while (sem_wait(&waiting) != 0) {
        }
        is_last = atomic_load(&is_ending); /* before the queue: nothing comes after it */
        write_queued();
    } while (!is_last);
    close(ended[1]);
    return NULL;
}

/* ---- the callers' side */

void log_line(enum log_level level, const char *format, ...) {
    if (level > most) {
        return;
    }
    struct log_entry entry;
    va_list words;
    va_start(words, format);
    fill(&entry, level, format, words);
    va_end(words);
    if (!atomic_load(&is_queued)) {
        write_entry(&entry);
    } else if (log_queue_put(&queue, &entry)) {
        sem_post(&waiting);
    }
}

bool log_begin(void) {
    pthread_t thread;
    log_queue_clear(&queue);
    atomic_store(&is_ending, false);
    if (pipe(ended) != 0) {
        return false;
    }
    if (sem_init(&waiting, 0, 0) != 0 || !thread_start(&thread, STACK_SIZE, write_on, NULL)) {
        close(ended[0]);
        close(ended[1]);
        return false;
    }
    pthread_detach(thread); /* a log that is stuck must not be waited for */
    atomic_store(&is_queued, true);
    return true;
}

bool log_end(uint32_t within_ms) {
    if (!atomic_load(&is_queued)) {
        return true;
    }
    atomic_store(&is_ending, true);
    sem_post(&waiting);
    bool has_ended = poll(&(struct pollfd){.fd = ended[0]}, 1, (int)within_ms) == 1;
    if (has_ended) { /* else the thread is stuck: it keeps what is its own */
        close(ended[0]);
        atomic_store(&is_queued, false);
    }
    return has_ended && unwritten == 0;
}

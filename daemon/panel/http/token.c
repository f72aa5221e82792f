#include "panel/http/token.h"

#include "base/log.h"

#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

/* Takes as long whether the first byte differs or the last. */
static bool is_same(const char *given, const char *kept, size_t size) {
    unsigned differs = 0;
    size_t length = strnlen(given, size);
    for (size_t i = 0; i < size; i++) {
        char byte = i < length ? given[i] : '\0';
        differs |= (unsigned)(unsigned char)byte ^ (unsigned)(unsigned char)kept[i];
    }
    return differs == 0 && length < size;
}

static bool make_pass(struct token *token, const char *file, struct error *error) {
    unsigned char random[(TOKEN_PASS_SIZE - 1) / 2];
    if (getrandom(random, sizeof random, 0) != (ssize_t)sizeof random) {
        return error_set(error, file, "no random numbers available: %s", strerror(errno));
    }
    for (size_t i = 0; i < sizeof random; i++) {
        snprintf(token->pass + 2 * i, 3, "%02x", random[i]);
    }
    return true;
}

static bool is_blank(char byte) {
    return isspace((unsigned char)byte);
}

/* Without blanks around it, and zeros behind. */
static void trim(char *word) {
    size_t length = strlen(word);
    size_t first = 0;
    while (length > 0 && is_blank(word[length - 1])) {
        word[--length] = '\0';
    }
    while (is_blank(word[first])) {
        first++;
    }
    memmove(word, word + first, length - first);
    memset(word + length - first, 0, TOKEN_SIZE - (length - first));
}

static ssize_t read_file(const char *file, char *bytes, size_t size, struct error *error) {
    struct stat about;
    int fd = open(file, O_RDONLY | O_CLOEXEC | O_NONBLOCK); /* a pipe must not hold the start up */
    ssize_t length = fd >= 0 ? read(fd, bytes, size) : -1;
    if (length < 0) {
        error_set(error, file, "the token cannot be read: %s", strerror(errno));
    } else if (fstat(fd, &about) == 0 && (about.st_mode & S_IROTH) != 0) {
        log_line(LOG_WARNING, "%s: every user of this machine can read the token: chmod o-r", file);
    }
    if (fd >= 0) {
        close(fd);
    }
    return length;
}

bool token_read(struct token *token, const char *file, struct error *error) {
    *token = (struct token){.is_needed = true};
    ssize_t length = read_file(file, token->word, sizeof token->word, error);
    if (length < 0) {
        return false;
    }
    if ((size_t)length == sizeof token->word || strlen(token->word) != (size_t)length) {
        return error_set(error, file, "wanted a token shorter than %d bytes, without a NUL byte",
                         TOKEN_SIZE);
    }
    trim(token->word);
    if (strlen(token->word) < TOKEN_LEAST) {
        return error_set(error, file, "the token has %zu characters, wanted %d or more",
                         strlen(token->word), TOKEN_LEAST);
    }
    return make_pass(token, file, error);
}

enum token_verdict token_try(struct token *token, const char *word, uint64_t now_us) {
    if (now_us - token->began_us >= TOKEN_WINDOW_US) {
        token->wrong = 0;
    }
    if (token->wrong >= TOKEN_TRIES) {
        return TOKEN_WAIT;
    }
    if (is_same(word, token->word, sizeof token->word)) {
        return TOKEN_RIGHT;
    }
    if (token->wrong++ == 0) {
        token->began_us = now_us;
    }
    return TOKEN_WRONG;
}

/* name=value; name=value (RFC 6265, 4.2.1) */
bool token_has_pass(const struct token *token, const char *cookies, const char *name) {
    size_t length = strlen(name);
    const char *at = cookies;
    while (at != NULL) {
        at += strspn(at, "; ");
        if (strncmp(at, name, length) == 0 && at[length] == '=') {
            char given[TOKEN_PASS_SIZE];
            size_t size = strcspn(at + length + 1, "; ");
            snprintf(given, sizeof given, "%.*s", (int)(size < sizeof given ? size : 0),
                     at + length + 1);
            if (is_same(given, token->pass, sizeof token->pass)) {
                return true;
            }
        }
        at = strchr(at, ';');
    }
    return false;
}

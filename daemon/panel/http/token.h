/* token.h: the word that a browser must give once before it is shown anything, and the pass it gets
 * for it: a number out of the system's random source, new with every start of the daemon. */
#ifndef PANEL_TOKEN_H
#define PANEL_TOKEN_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

enum { TOKEN_LEAST = 16, TOKEN_SIZE = 256, TOKEN_PASS_SIZE = 33 };

/* Wrong tokens that are listened to in TOKEN_WINDOW_US: guessing takes longer than a layout lasts.
 */
enum { TOKEN_TRIES = 10, TOKEN_WINDOW_US = 60000000 };

/* All zero: none is asked for. */
struct token {
    bool is_needed;
    char word[TOKEN_SIZE];
    char pass[TOKEN_PASS_SIZE];
    unsigned wrong; /* since `began_us` */
    uint64_t began_us;
};

enum token_verdict { TOKEN_RIGHT, TOKEN_WRONG, TOKEN_WAIT };

/* Reads the file's only line, without blanks around it. A file that others may read is a warning.
 * False, and `error` filled: not to be read, too short, too long, or no pass to be had. */
bool token_read(struct token *token, const char *file, struct error *error);

/* `now_us` of any clock that only goes on. */
enum token_verdict token_try(struct token *token, const char *word, uint64_t now_us);

/* Whether a Cookie header (NULL: none) has the pass under this name. */
bool token_has_pass(const struct token *token, const char *cookies, const char *name);

#endif

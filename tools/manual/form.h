/* form.h: how a use is written, such as "FB ADDRESS [VALUE]": what of it is typed as it stands, and
 * what is filled in. */
#ifndef TOOLS_MANUAL_FORM_H
#define TOOLS_MANUAL_FORM_H

#include <stdbool.h>
#include <stddef.h>

struct form_token {
    char text[64];       /* without brackets and dots: "lined|open|held|fault", "SAMPLES" */
    bool is_placeholder; /* to be filled in */
    bool repeats;        /* may be followed by more of its kind */
};

/* Returns whether a word is to be filled in: capitals, but for the protocol's FB and GA. */
bool form_is_placeholder(const char *word, size_t length);

/* Takes the next token of `form` and moves on. Returns false at its end. */
bool form_next(const char **form, struct form_token *token);

/* Returns whether a placeholder stands for a file or a folder that is there. */
bool form_is_file(const char *placeholder);
bool form_is_folder(const char *placeholder);

#endif

/* main.c: writes the manual pages and the completions of both programs into a folder. */
#include "tools/manual/completion.h"
#include "tools/manual/pages.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sysexits.h>

/* Returns the opened file, or ends the program. */
static FILE *begin(const char *folder, const char *name) {
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        perror(path);
        exit(EX_CANTCREAT);
    }
    return file;
}

static void finish(FILE *file) {
    bool is_good = ferror(file) == 0;
    if (fclose(file) != 0 || !is_good) {
        perror("manual");
        exit(EX_IOERR);
    }
}

static void write_pages(const char *folder, const char *date) {
    for (const struct page *page = pages; page->name != NULL; page++) {
        char name[128];
        snprintf(name, sizeof name, "%s.%s", page->name, page->section);
        FILE *file = begin(folder, name);
        page_print(page, date, file);
        finish(file);
    }
}

static void write_completions(const char *folder, const struct command_line *command) {
    static const struct {
        const char *before, *after;
        void (*print)(const struct command_line *command, FILE *out);
    } shells[] = {
        {"", ".bash", completion_bash}, {"_", "", completion_zsh}, {"", ".fish", completion_fish}};
    for (size_t i = 0; i < sizeof shells / sizeof shells[0]; i++) {
        char name[128];
        snprintf(name, sizeof name, "%s%s%s", shells[i].before, command->program, shells[i].after);
        FILE *file = begin(folder, name);
        shells[i].print(command, file);
        finish(file);
    }
}

int main(int count, char *arguments[]) {
    if (count != 3 || arguments[1][0] == '-') {
        fputs("usage: manual FOLDER DATE\n"
              "Writes the manual pages and the completions of drawtender and drawtenderd.\n",
              stderr);
        return EX_USAGE;
    }
    write_pages(arguments[1], arguments[2]);
    write_completions(arguments[1], &command_drawtender);
    write_completions(arguments[1], &command_drawtenderd);
    return EX_OK;
}

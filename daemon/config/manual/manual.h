/* manual.h: the tables of config/README.md, made from the tables that the reader reads by. */
#ifndef CONFIG_MANUAL_H
#define CONFIG_MANUAL_H

/* Markdown, one section for each object, ending with a newline; for the caller to free(), or NULL
 * where there is no memory. */
char *manual_text(void);

#endif

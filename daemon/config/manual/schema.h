/* schema.h: the JSON Schema of the configuration, made from the tables that the reader reads by. */
#ifndef CONFIG_SCHEMA_H
#define CONFIG_SCHEMA_H

/* For tests, which hold the file to it: JSON Schema (draft 2020-12) as text, ending with a newline;
 * for the caller to free(), or NULL where there is no memory. */
char *schema_text(void);

#endif

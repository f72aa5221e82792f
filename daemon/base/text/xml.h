/* xml.h: words as text of an XML file: names come from a file that anybody may have written. */
#ifndef BASE_TEXT_XML_H
#define BASE_TEXT_XML_H

#include <stdio.h>

/* Prints the words so that they are text, between tags or in a quoted attribute; control characters
 * become blanks. */
void xml_print(FILE *out, const char *words);

#endif

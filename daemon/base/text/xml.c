#include "base/text/xml.h"

void xml_print(FILE *out, const char *words) {
    for (; *words != '\0'; words++) {
        switch (*words) {
        case '<':
            fputs("&lt;", out);
            break;
        case '>':
            fputs("&gt;", out);
            break;
        case '&':
            fputs("&amp;", out);
            break;
        case '"':
            fputs("&quot;", out);
            break;
        default:
            fputc((unsigned char)*words < 0x20 ? ' ' : *words, out);
        }
    }
}

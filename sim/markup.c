/* Text inside SVG and HTML. */
#include "sim/markup.h"

void sim_markup_write(const char *text, FILE *out) {
    for (const char *c = text; *c != '\0'; c++) {
        switch (*c) {
        case '&':
            fputs("&amp;", out);
            break;
        case '<':
            fputs("&lt;", out);
            break;
        case '>':
            fputs("&gt;", out);
            break;
        case '"':
            fputs("&quot;", out);
            break;
        default:
            if ((unsigned char)*c >= 0x20 || *c == '\t' || *c == '\n') fputc(*c, out);
        }
    }
}

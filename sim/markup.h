/* Text inside SVG and HTML. */
#ifndef SIM_MARKUP_H
#define SIM_MARKUP_H

#include <stdio.h>

/* Writes `text` so that no reader takes a part of it for a tag; control characters but tab and newline are
 * left out. */
void sim_markup_write(const char *text, FILE *out);

#endif

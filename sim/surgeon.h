/* What the surgeon says when he has come and looked at what everybody sees. */
#ifndef SIM_SURGEON_H
#define SIM_SURGEON_H

#include "sim/instruments.h"

#include <stddef.h>

enum { SURGEON_TEXT_MAX = 400 };

/* Writes his opinion from the numbers on show and the state of the chest; he knows no more than the room. */
void sim_surgeon_opinion(const Display *display, const Parameters *parameters, char *text, size_t size);

#endif

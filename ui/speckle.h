/* The grain of a picture made by sound: a prepared grey texture, made once for a sector and then only copied.
 */
#ifndef UI_SPECKLE_H
#define UI_SPECKLE_H

#include <stdint.h>

/* Fills width x height grey values (0 dark .. 255 bright), `stride` bytes a row, with speckle as beams from
   (beam_x, beam_y) would give: grains `grain` px deep that widen sideways with the distance, fading toward
   the far field. The same arguments give the same texture. */
void ui_speckle_fill(uint8_t *grey, int width, int height, int stride, double beam_x, double beam_y,
                     double grain);

#endif
